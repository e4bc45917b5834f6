"""The light on one spot: sun, skyline and canopy together.

When direct light reaches a place past its own skyline, from which side, how much of the beam
the crowns leave, the season without any, and how bright the open sky is by the sun's height.
"""
