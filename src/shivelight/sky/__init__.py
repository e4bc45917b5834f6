"""Where lights stand in the sky: Sun and Moon, their rise and set, twilight, refraction.

Everything is worked out from the packaged JPL ephemeris through Skyfield, in UTC, for any place
on Earth between 1900 and 2053, with no network and no look at the machine's clock. Clock time
and its changes are the business of ``shivelight.basis.instants``.
"""
