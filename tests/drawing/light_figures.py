"""A made-up carpet, cheap to make: only its drawing is tested."""

import numpy as np

from shivelight.light.year import DARK, NO_SUCH_TIME, SHADE, SUN, TWILIGHT, Carpet


def carpet(*, evening: bool = False, dark: bool = False) -> Carpet:
    days = np.arange(np.datetime64("2027-01-01"), np.datetime64("2028-01-01"))
    clock_min = np.arange(0, 1440, 15)
    # First light moves between 06:00 and 09:00 through the year.
    rise = 450.0 + 90.0 * np.cos(np.arange(days.size) / 365.0 * 2.0 * np.pi)
    if evening:
        rise += 600.0
    after = clock_min[None, :] - rise[:, None]
    state = np.select([after < -90, after < -45, after < 0], [DARK, TWILIGHT, SHADE], SUN)
    if dark:
        state = np.minimum(state, SHADE)
    state[86, (clock_min >= 60) & (clock_min < 120)] = NO_SUCH_TIME
    midnight = days.astype("datetime64[us]")[:, None]
    utc = (midnight + clock_min[None, :].astype("timedelta64[m]")).astype("datetime64[us]")
    first = midnight[:, 0] + (rise * 60e6).astype("timedelta64[us]")
    if dark:
        first = np.full(days.size, np.datetime64("NaT"), "datetime64[us]")
    shape = state.shape
    return Carpet(
        days=days,
        clock_min=clock_min,
        utc=utc,
        state=state.astype(np.int64),
        altitude_deg=np.zeros(shape),
        azimuth_deg=np.zeros(shape),
        off_view_deg=np.full(shape, np.nan),
        first_sun_utc=first,
        last_sun_utc=first,
        skyline_assumed=False,
    )
