"""Uniform time behind UTC, and the packaged ephemeris.

Skyfield carries the leap seconds and the Earth's measured and predicted rotation; the ephemeris
DE421 comes with a package. Nothing is downloaded.
"""

from functools import lru_cache
from importlib import resources
from typing import Any

import numpy as np

from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.basis.errors import OutOfRangeError

FIRST_YEAR, LAST_YEAR = 1900, 2052
"""Whole years that DE421 covers (29 July 1899 to 9 October 2053)."""

EPOCH = np.datetime64("2000-01-01T12:00:00", "us")
"""J2000.0 on the TT scale."""

EPOCH_JD = 2451545.0
DAY_S = 86400.0
UNIX_EPOCH_JD = 2440587.5


@lru_cache(maxsize=1)
def timescale() -> Any:
    """Skyfield's timescale with its own packaged tables."""
    from skyfield.api import load  # noqa: PLC0415  a sixth of a second, when first asked

    return load.timescale(builtin=True)


@lru_cache(maxsize=1)
def ephemeris() -> Any:
    """JPL DE421 as shipped by ``skyfield-data``."""
    from skyfield.jpllib import SpiceKernel  # noqa: PLC0415  as above

    # The package's own path function looks at the machine's clock to warn of age; DE421 does
    # not age, so the file is found directly.
    place = resources.files("skyfield_data").joinpath("data", "de421.bsp")
    return SpiceKernel(str(place))


@lru_cache(maxsize=1)
def _leap_table() -> tuple[FloatArray, FloatArray]:
    scale = timescale()
    since_unix_s = (np.asarray(scale.leap_dates) - UNIX_EPOCH_JD) * DAY_S
    offsets_s = np.concatenate([[10.0], np.asarray(scale.leap_offsets, dtype=np.float64)])
    return since_unix_s, offsets_s


def tt_seconds(utc: UtcArray) -> FloatArray:
    """Terrestrial Time of UTC instants, as seconds after J2000.0.

    Parameters
    ----------
    utc : ndarray of datetime64, shape S
        Instants. NaT gives NaN. Before 1972 TAI − UTC is taken as 10 s, as Skyfield does.

    Returns
    -------
    ndarray of float64, shape S
        TT seconds after 2000-01-01T12:00:00 TT, to about 0.2 µs. [s]
    """
    moments = np.asarray(utc).astype("datetime64[us]")
    unix_s = np.where(np.isnat(moments), np.nan, moments.astype(np.int64) / 1e6)
    since_unix_s, offsets_s = _leap_table()
    tai_minus_utc_s = offsets_s[np.searchsorted(since_unix_s, unix_s, side="right")]
    epoch_unix_s = EPOCH.astype(np.int64) / 1e6
    return np.asarray(unix_s - epoch_unix_s + tai_minus_utc_s + 32.184, dtype=np.float64)


def tt_seconds_of_tt(tt: UtcArray) -> FloatArray:
    """Seconds after J2000.0 of instants that are already on the TT scale [s]."""
    moments = np.asarray(tt).astype("datetime64[us]")
    since = (moments - EPOCH).astype(np.int64) / 1e6
    return np.asarray(np.where(np.isnat(moments), np.nan, since), dtype=np.float64)


def utc_minus_tt_s(utc: UtcArray) -> FloatArray:
    """UTC − TT at UTC instants: about −69 s in this decade [s]."""
    moments = np.asarray(utc).astype("datetime64[us]")
    since = (moments - EPOCH).astype(np.int64) / 1e6
    return np.asarray(since - tt_seconds(moments), dtype=np.float64)


def ut1_minus_utc_s(utc: np.datetime64) -> float:
    """UT1 − UTC, from Skyfield's tables: measured, then predicted [s]."""
    return float(skyfield_time(tt_seconds(np.asarray(utc))).dut1)


def skyfield_time(tt_s: FloatArray) -> Any:
    """Skyfield's own time object for TT seconds after J2000.0."""
    days = np.floor(tt_s / DAY_S)
    return timescale().tt_jd(EPOCH_JD + days, (tt_s - days * DAY_S) / DAY_S)


def require_covered(first: np.datetime64, last: np.datetime64) -> None:
    """Refuse instants outside the ephemeris.

    Raises
    ------
    OutOfRangeError
        If either end lies outside the years 1900 to 2052.
    """
    for moment in (first, last):
        year = int(moment.astype("datetime64[Y]").astype(np.int64)) + 1970
        if not FIRST_YEAR <= year <= LAST_YEAR:
            raise OutOfRangeError(
                "year", year, FIRST_YEAR, LAST_YEAR, "", "The ephemeris covers no other years."
            )
