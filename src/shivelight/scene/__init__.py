"""What stands before the lens, how it falls on the frame, and where to stand for the picture."""
