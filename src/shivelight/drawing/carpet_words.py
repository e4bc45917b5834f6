"""A season carpet in words: spans of days, one line for each column, and all of it as a table."""

import datetime as dt

import numpy as np

from shivelight.basis.arrays import BoolArray
from shivelight.basis.instants import clock
from shivelight.light.year import DARK, NO_SUCH_TIME, Carpet

DAYS_A_STEP = 3
LEAF_WORDS = {
    "bare": "bare", "flush": "in flush", "full": "in full leaf", "turning": "turning",
    "peak": "at the peak of its colour", "drop": "falling",
}  # fmt: skip


def carpet_readings(
    carpet: Carpet,
    *,
    zone_name: str,
    met: BoolArray | None = None,
    leaf: tuple[str, ...] = (),
) -> tuple[str, ...]:
    """Say of every third day when it is light, when the sun comes, and when it is as wanted.

    Parameters
    ----------
    carpet : Carpet
        The spot's year.
    zone_name : str
        Its clock.
    met : ndarray of bool, shape (D, T), optional
        Where the sun is as the wishes want it.
    leaf : tuple of str, length D, optional
        Usual leaf stage of each day.
    """
    return tuple(
        f"{day_words(carpet, index)}: {'; '.join(filter(None, parts))}."
        for index, parts in (
            (index, _parts(carpet, index, zone_name=zone_name, met=met, leaf=leaf))
            for index in range(0, carpet.days.size, DAYS_A_STEP)
        )
    )


def carpet_table(
    carpet: Carpet,
    *,
    zone_name: str,
    met: BoolArray | None = None,
    leaf: tuple[str, ...] = (),
) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Write every third day as a row; parameters as :func:`carpet_readings`.

    Returns
    -------
    headers, rows : tuple
    """
    headers = ["day", "light from", "first sun", "last sun"]
    headers += ["sun as wanted"] if met is not None else []
    headers += ["leaf, usually"] if leaf else []
    rows = []
    for index in range(0, carpet.days.size, DAYS_A_STEP):
        row = [day_words(carpet, index), _light_from(carpet, index, zone_name)]
        row += _sun_cells(carpet, index, zone_name)
        row += [met_words(carpet, met, index) or "not"] if met is not None else []
        row += [LEAF_WORDS[leaf[index]]] if leaf else []
        rows.append(tuple(row))
    return tuple(headers), tuple(rows)


def spans_of(chosen: BoolArray) -> tuple[tuple[int, int], ...]:
    """First and last index of every run of True."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], chosen, [False]]).astype(np.int8)))
    return tuple((int(start), int(end) - 1) for start, end in edges.reshape(-1, 2))


def spans_words(carpet: Carpet, chosen: BoolArray) -> str:
    """Say which days are chosen: "1 January to 3 March, and 9 October to 31 December"."""
    spans = spans_of(chosen)
    if spans == ((0, carpet.days.size - 1),):
        return "every day"
    return ", and ".join(
        day_words(carpet, start)
        if start == end
        else f"{day_words(carpet, start)} to {day_words(carpet, end)}"
        for start, end in spans
    )


def day_words(carpet: Carpet, index: int) -> str:
    """Write a day of the carpet: "3 November"."""
    return date_words(carpet.days[index])


def date_words(utc: np.datetime64) -> str:
    """Write the day of an instant: "3 November"."""
    day: dt.date = utc.astype("datetime64[D]").astype(dt.date)
    return f"{day.day} {day:%B}"


def met_words(carpet: Carpet, met: BoolArray, index: int) -> str:
    """Say between which times a day's sun is as wanted, to the carpet's rows; empty if never."""
    step = step_min(carpet)
    return " and ".join(
        f"{_wall(int(carpet.clock_min[start]))}–{_wall(int(carpet.clock_min[end]) + step)}"
        for start, end in spans_of(met[index])
    )


def longest_min(carpet: Carpet, met: BoolArray) -> tuple[int, ...]:
    """Longest unbroken stretch of each day in which the sun is as wanted, to a row. [min]."""
    step = step_min(carpet)
    return tuple(
        max((end - start + 1 for start, end in spans_of(row)), default=0) * step for row in met
    )


def step_min(carpet: Carpet) -> int:
    """Minutes between two rows."""
    return int(carpet.clock_min[1] - carpet.clock_min[0])


def _parts(
    carpet: Carpet,
    index: int,
    *,
    zone_name: str,
    met: BoolArray | None,
    leaf: tuple[str, ...],
) -> tuple[str, ...]:
    first, last = _sun_cells(carpet, index, zone_name)
    wanted = "" if met is None else met_words(carpet, met, index)
    return (
        f"light from about {_light_from(carpet, index, zone_name)}",
        f"sun here from {first} until {last}" if last else "no sun here",
        f"as wanted {wanted}" if wanted else "" if met is None else "never as wanted",
        f"leaf usually {LEAF_WORDS[leaf[index]]}" if leaf else "",
    )


def _sun_cells(carpet: Carpet, index: int, zone_name: str) -> tuple[str, str]:
    first, last = carpet.first_sun_utc[index], carpet.last_sun_utc[index]
    if np.isnat(first) or np.isnat(last):
        return "none", ""
    return clock(first, zone_name), clock(last, zone_name)


def _light_from(carpet: Carpet, index: int, zone_name: str) -> str:
    """First row of civil dawn or later."""
    lit = np.flatnonzero(~np.isin(carpet.state[index], (DARK, NO_SUCH_TIME)))
    if not lit.size:
        return "no time"
    return clock(carpet.utc[index, int(lit[0])], zone_name)


def _wall(minute: int) -> str:
    return f"{minute // 60:02d}:{minute % 60:02d}"
