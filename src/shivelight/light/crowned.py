"""What crowns do to a window of direct light, in words and as the part that can be seen."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from shivelight.basis.instants import clock
from shivelight.light.beams import LEAST_BEAM_FRAC
from shivelight.light.reach import LightWindow
from shivelight.wood.crowns import crowns_leave

WORTH_SAYING = np.timedelta64(2, "m")
"""A window that crowns close for less than this is said to be open from its start."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenLight:
    """The part of a window of direct light that crowns leave to be seen."""

    start_utc: np.datetime64
    end_utc: np.datetime64
    facing: str
    starts_at_skyline: bool


def seen_light(windows: Iterable[LightWindow]) -> tuple[SeenLight, ...]:
    """Windows without the time in which crowns hide the sun; whole in the open.

    Parameters
    ----------
    windows : iterable of LightWindow
        Of one spot.
    """
    return tuple(
        SeenLight(
            start_utc=span[0],
            end_utc=span[1],
            facing=one.facing,
            starts_at_skyline=one.starts_at_skyline
            and bool(span[0] - one.start_utc <= WORTH_SAYING),
        )
        for one in windows
        if (span := seen_span(one)) is not None
    )


def seen_span(window: LightWindow) -> tuple[np.datetime64, np.datetime64] | None:
    """First and last time at which the beam of a window can be seen; None when never.

    Parameters
    ----------
    window : LightWindow
        Of one spot.
    """
    if window.beam_most_frac < LEAST_BEAM_FRAC:
        return None
    start = window.start_utc if window.beam_start_utc is None else window.beam_start_utc
    end = window.end_utc if window.beam_end_utc is None else window.beam_end_utc
    return start, end


def crowns_words(window: LightWindow, zone_name: str) -> str:
    """Say how crowns dim a window; "" where they hardly do.

    Parameters
    ----------
    window : LightWindow
        Of one spot.
    zone_name : str
        Whose clock is meant.
    """
    span = seen_span(window)
    if span is None:
        return crowns_leave(0.0)
    said = [crowns_leave(window.beam_frac)] if crowns_leave(window.beam_frac) else []
    if span[0] - window.start_utc > WORTH_SAYING:
        said.append(f"less than a twentieth before {clock(span[0], zone_name)}")
    if window.end_utc - span[1] > WORTH_SAYING:
        said.append(f"less than a twentieth after {clock(span[1], zone_name)}")
    if len(said) > 1 and said[0].startswith("crowns"):
        said[0] += " on the mean of the window"
    elif said and not said[0].startswith("crowns"):
        said[0] = f"crowns leave {said[0]}"
    return ", ".join(said)
