"""Sizes and speeds of Earth and light, each with its source."""

TURN_RAD_S = 7.292115855e-5
"""Mean sidereal turn of the Earth in a second of UT1; only splits sidereal time into a steady
part and a small rest, so its last digits do not matter. (From memory.)"""
EARTH_EQUATOR_M = 6378136.6
"""Equatorial radius, as Skyfield takes it (IERS Conventions 2003)."""
EARTH_FLATTENING = 1.0 / 298.25642
AU_M = 149597870700.0
"""Astronomical unit (IAU 2012 resolution B2)."""
LIGHT_MPS = 299792458.0
