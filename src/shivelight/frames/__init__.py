"""What can be measured on the pixels of photographs: likeness, pose, depth, tone, sharpness."""
