"""The bare ground: heights, skylines, hollows, walking, bearings."""
