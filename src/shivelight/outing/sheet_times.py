"""The times of a morning in order, as they are printed largest on the sheet."""

from collections.abc import Iterator

import numpy as np

from shivelight.basis.instants import clock
from shivelight.outing.judgement import Almanac, Morning, SpotOutlook, Visit
from shivelight.outing.outings import LeaveWord
from shivelight.outing.sheet import SheetTime

_NEAR = np.timedelta64(60, "s")
"""Two events closer than this are printed as one line."""
LIKELY_MIST_FRAC = 0.1
"""From this chance on the going of mist is timed where no wish asks for it: a house rule."""
_SAME_END = np.timedelta64(180, "s")


def sheet_times(
    morning: Morning,
    first: SpotOutlook | None,
    *,
    visits: tuple[Visit, ...] = (),
    word: LeaveWord | None = None,
) -> tuple[SheetTime, ...]:
    """List what happens when, earliest first.

    Parameters
    ----------
    morning : Morning
        For dawn, sunrise and the clock.
    first : SpotOutlook or None
        The spot gone to; None when the answer is to stay.
    visits : tuple of Visit
        The walk; stops after the first spot get a line each.
    word : LeaveWord, optional
        The word left.

    Returns
    -------
    tuple of SheetTime
        In order of time; lines of equal time keep the order in which they happen.
    """
    lines = [*_sky(morning.almanac, first)]
    if first is not None:
        lines = [*_way_in(first), *lines, *_on_the_spot(first, zone_name=morning.zone_name)]
        lines += _further(first, visits)
    if word is not None:
        raised = clock(word.alarm_utc, morning.zone_name)
        lines.append(SheetTime(utc=word.back_by_utc, words=f"back; alarm raised {raised}"))
    return tuple(sorted(lines, key=lambda line: line.utc))


def _way_in(first: SpotOutlook) -> Iterator[SheetTime]:
    if first.alarm_utc is not None:
        yield SheetTime(utc=first.alarm_utc, words="alarm clock", kind="home")
    if first.set_out_utc is not None:
        yield SheetTime(utc=first.set_out_utc, words="leave. Plate on the tripod?")
    if first.park_utc is not None:
        walk = f"walk {first.walk_min:.0f} min" if first.walk_min >= 0.5 else "the spot is there"
        yield SheetTime(utc=first.park_utc, words=f"parked; {walk}")
    if first.in_place_utc is not None:
        yield SheetTime(utc=first.in_place_utc, words=f"on the mark, {first.spot}")


def _sky(almanac: Almanac, first: SpotOutlook | None) -> Iterator[SheetTime]:
    if almanac.civil_dawn_utc is not None:
        yield SheetTime(utc=almanac.civil_dawn_utc, words="civil dawn", kind="sky")
    rise = almanac.sunrise_utc
    if rise is not None:
        late = first is not None and (first.clears_utc is None or first.clears_utc > rise + _NEAR)
        words = "flat sunrise: not here yet" if late else "flat sunrise"
        yield SheetTime(utc=rise, words=words, kind="sky")


def _on_the_spot(first: SpotOutlook, *, zone_name: str) -> Iterator[SheetTime]:
    best, clears = first.best, first.clears_utc
    if clears is not None:
        yield SheetTime(utc=clears, words="sun on the spot", kind="sun")
    lifting = first.mist.lifting
    if best is not None:
        if clears is None or abs(best.start_utc - clears) > _NEAR:
            yield SheetTime(utc=best.start_utc, words="all you want, together, from here")
        # Where the mist's going is what ends it, one line says both.
        if len(lifting) < 3 or abs(best.end_utc - lifting[1]) > _SAME_END:
            ends = "all you want ends"
            if first.best_low is not None and first.best_high is not None:
                low = clock(min(first.best_low, best.end_utc), zone_name)
                high = clock(max(first.best_high, best.end_utc), zone_name)
                ends = f"{ends}: {low} to {high}"
            yield SheetTime(utc=best.end_utc, words=ends)
    if not _mist_matters(first):
        pass
    elif len(lifting) == 3:
        low, high = clock(lifting[0], zone_name), clock(lifting[2], zone_name)
        yield SheetTime(utc=lifting[1], words=f"mist gone? {low} to {high}")
    elif lifting:
        yield SheetTime(utc=lifting[0], words="mist gone? or it may sit all morning")
    stirs = _stirs(first)
    if stirs is not None:
        yield SheetTime(utc=stirs, words="leaf starts to move")


def _mist_matters(first: SpotOutlook) -> bool:
    """Whether mist is wished for, or likely enough that its going is worth a line."""
    wished = any(one.words.startswith("mist") for one in first.wishes)
    return wished or first.mist.morning_mist_frac >= LIKELY_MIST_FRAC


def _further(first: SpotOutlook, visits: tuple[Visit, ...]) -> Iterator[SheetTime]:
    for visit in visits:
        if visit.spot != first.spot:
            words = f"{visit.spot}, {visit.walk_min:.0f} min on foot"
            yield SheetTime(utc=visit.arrive_utc, words=words)


def _stirs(first: SpotOutlook) -> np.datetime64 | None:
    """First quarter hour after the mark is reached in which a still leaf is still no more."""
    start = first.in_place_utc
    was_still = False
    for utc, air in zip(first.quarter_utc, first.leaf_air, strict=True):
        if was_still and air in {"stirring", "moving"} and (start is None or utc > start):
            return np.datetime64(utc, "us")
        was_still = air == "still"
    return None
