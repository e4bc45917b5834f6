"""A time axis: instants to x, ticks on the local clock, whatever the clocks do that night."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from shivelight.basis.instants import steps, to_local
from shivelight.drawing.svg import Letters, Pen
from shivelight.outing.judgement import Almanac, SpotOutlook

QUARTER = np.timedelta64(15 * 60, "s")
LABEL_EMS = 3.1
"""Room that a clock time wants on the axis, in sizes of its letters."""
_HALF_HOUR = np.timedelta64(30 * 60, "s")
_SPAN = np.timedelta64(3 * 3600 + 15 * 60, "s")


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeScale:
    """From ``start_utc`` at ``left_px`` to ``end_utc`` at ``right_px``."""

    start_utc: np.datetime64
    end_utc: np.datetime64
    left_px: float
    right_px: float

    def x(self, utc: np.datetime64) -> float:
        """Place of an instant, kept between the ends [px]."""
        share = float((utc - self.start_utc) / (self.end_utc - self.start_utc))
        return self.left_px + min(max(share, 0.0), 1.0) * (self.right_px - self.left_px)

    def holds(self, utc: np.datetime64 | None) -> bool:
        """Whether an instant is on the axis."""
        return utc is not None and bool(self.start_utc <= utc <= self.end_utc)


def morning_span(
    outlooks: tuple[SpotOutlook, ...], almanac: Almanac | None
) -> tuple[np.datetime64, np.datetime64]:
    """Choose what is drawn: from about half an hour before civil dawn, so that every bracket fits.

    Without a civil dawn the quarter hours that were judged set the span.
    """
    first = min(outlook.quarter_utc[0] for outlook in outlooks)
    last = max(outlook.quarter_utc[-1] for outlook in outlooks) + QUARTER
    dawn = almanac.civil_dawn_utc if almanac is not None else None
    start = (
        first if dawn is None else max(first, _quarter_before(dawn - _HALF_HOUR + QUARTER // 2))
    )
    ends = [start + _SPAN]
    ends += [one.best.end_utc + _HALF_HOUR for one in outlooks if one.best is not None]
    ends += [one.clears_utc + _HALF_HOUR for one in outlooks if one.clears_utc is not None]
    end = min(_quarter_before(max(ends) + QUARTER - np.timedelta64(1, "s")), last)
    return (start, end) if start < end else (first, last)


def draw_axis(pen: Pen, scale: TimeScale, *, top_px: float, zone_name: str, size: float) -> None:
    """Draw ticks each quarter hour, and the clock at hours as densely as there is room.

    That is at half hours too, or at every second or third hour only.
    """
    hour_px = (scale.right_px - scale.left_px) / max(
        float((scale.end_utc - scale.start_utc) / np.timedelta64(3600, "s")), 0.25
    )
    halves = hour_px > 150.0
    every_h = max(math.ceil(size * LABEL_EMS / hour_px), 1)
    for utc, minute in _ticks(scale, zone_name):
        hour = to_local(utc, zone_name).hour
        x = scale.x(utc)
        long = minute % 30 == 0
        pen.line((x, top_px), (x, top_px + (9 if long else 5)), width=1.5 if long else 1.0)
        if (minute == 0 and hour % every_h == 0) or (halves and minute == 30):
            words = f"{to_local(utc, zone_name):%H:%M}"
            anchor = _anchor(x, scale, room=size * 1.6)
            pen.text(
                (x, top_px + 10 + size),
                words,
                Letters(size=size, bold=minute == 0, anchor=anchor),
            )


def _anchor(x: float, scale: TimeScale, *, room: float) -> str:
    if x - room < scale.left_px:
        return "start"
    return "end" if x + room > scale.right_px else "middle"


def _ticks(scale: TimeScale, zone_name: str) -> Iterator[tuple[np.datetime64, int]]:
    for utc in steps(_quarter_before(scale.start_utc), scale.end_utc, step_s=900.0):
        if scale.holds(utc):
            yield utc, to_local(utc, zone_name).minute


def _quarter_before(utc: np.datetime64) -> np.datetime64:
    whole = utc.astype("datetime64[s]").astype(np.int64)
    return np.datetime64(int(whole) // 900 * 900 * 1_000_000, "us")
