"""Whether a judgement still stands: what came or changed since it was made."""

from collections.abc import Mapping, Sequence

import numpy as np

from shivelight.basis.instants import clock, day_bounds, day_words, to_local
from shivelight.outing.judgement import Morning
from shivelight.outing.spots import Spot
from shivelight.workbench.forecast import SURE_TO_HOLD_H
from shivelight.workbench.results import ForecastKept

SURE_TO_HOLD = np.timedelta64(round(SURE_TO_HOLD_H * 3600.0), "s")
MOST_NAMES = 3
"""So many names stand in one sentence; the others are counted."""


def why_stale(morning: Morning, spots: Sequence[Spot], used: Mapping[str, ForecastKept]) -> str:
    """Say in a sentence why a morning should be judged again; nothing when it still stands.

    A newer forecast counts when it reaches that morning. Of spots the names and wishes are held
    against those judged; other changes to them are not seen, for the book keeps no time of them.

    Parameters
    ----------
    morning : Morning
        As it was judged.
    spots : sequence of Spot
        Those of now, without the lost.
    used : mapping of str to ForecastKept
        The forecast that a judgement would go by now, by wood; woods without one are left out.
    """
    reasons = [
        *_newer_forecasts(morning, used, {spot.wood for spot in spots}),
        *_changed_spots(morning, spots),
    ]
    if not reasons:
        return ""
    text = ", and ".join(reasons)
    return f"{text[0].upper()}{text[1:]}; judge again."


def _newer_forecasts(
    morning: Morning, used: Mapping[str, ForecastKept], woods: set[str]
) -> list[str]:
    """Name the newest forecast that came since and reaches that morning, in a clause."""
    judged_by = dict(morning.forecasts)
    newer: list[ForecastKept] = []
    other: list[str] = []
    for wood, kept in used.items():
        if wood not in woods or not _reaches(kept, morning):
            continue
        note = judged_by.get(wood)
        if kept.fetched_utc > morning.made_utc:
            newer.append(kept)
        elif note is not None and (note.source, note.issued_utc) != (kept.source, kept.issued_utc):
            other.append(wood)
    if newer:
        last = max(newer, key=lambda one: one.fetched_utc)
        came, judged = (
            _when(utc, morning.zone_name, other=ref)
            for utc, ref in (
                (last.fetched_utc, morning.made_utc), (morning.made_utc, last.fetched_utc),
            )
        )  # fmt: skip
        return [f"a forecast came {came}, after this was judged {judged}"]
    if other:
        return [f"the forecast for {_named(other)} is another than it was judged by"]
    return []


def _reaches(forecast: ForecastKept, morning: Morning) -> bool:
    sunrise = morning.almanac.sunrise_utc
    if sunrise is None:
        sunrise = day_bounds(morning.day, morning.zone_name)[0] + np.timedelta64(8, "h")
    return bool(forecast.last_utc >= sunrise - SURE_TO_HOLD)


def _changed_spots(morning: Morning, spots: Sequence[Spot]) -> list[str]:
    """Name spots that are new, gone or wish for something else, each in a clause."""
    judged = {one.spot: one for one in morning.spots}
    left_out = {wood for wood, _ in morning.left_out}
    now = {one.name: one for one in spots}
    added = [name for name, one in now.items() if name not in judged and one.wood not in left_out]
    gone = [name for name in judged if name not in now]
    wishing = [
        name
        for name, one in now.items()
        if name in judged
        and {(wish.words, wish.must) for wish in one.wishes}
        != {(wish.words, wish.must) for wish in judged[name].wishes}
    ]
    return [
        f"{_named(names)} {was if len(names) == 1 else were}"
        for names, was, were in (
            (added, "was added since", "were added since"),
            (gone, "is no longer looked at", "are no longer looked at"),
            (wishing, "wishes for something else now", "wish for something else now"),
        )
        if names
    ]


def _named(names: Sequence[str]) -> str:
    """Join names; many are counted."""
    if len(names) > MOST_NAMES:
        return f"{', '.join(names[: MOST_NAMES - 1])} and {len(names) - MOST_NAMES + 1} others"
    return " and ".join((", ".join(names[:-1]), names[-1])) if len(names) > 1 else names[0]


def _when(utc: np.datetime64, zone_name: str, *, other: np.datetime64) -> str:
    """Say at which time it was, with the day where another instant was on another day."""
    day, there = (to_local(one, zone_name).date() for one in (utc, other))
    text = f"at {clock(utc, zone_name)}"
    return text if day == there else f"on {day_words(day)} {text}"
