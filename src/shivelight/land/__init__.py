"""The bare ground: its height, slope, hollows and skyline, and the walk over it."""
