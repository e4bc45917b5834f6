"""The season carpet: the weeks along, the clock down, where light is and where a wish is met."""

import datetime as dt
from itertools import pairwise

import numpy as np

from shivelight.basis.arrays import BoolArray, IntArray
from shivelight.basis.errors import BadInputError
from shivelight.basis.instants import clock
from shivelight.drawing.svg import STYLES, Letters, Pen
from shivelight.light.year import DARK, NO_SUCH_TIME, SHADE, SUN, TWILIGHT, Carpet

WIDTH_PX, PLOT_PX = 928.0, 300.0
_LEFT, _RIGHT, _TOP = 58.0, 8.0, 34.0
_DAYS_A_STEP = 3
_FIRST_MIN, _LAST_MIN = 4 * 60, 11 * 60
_TOKENS = {DARK: "bark", TWILIGHT: "shade", SHADE: "shade", SUN: "sheet", NO_SUCH_TIME: "ground"}


def season_carpet_svg(
    carpet: Carpet,
    *,
    title: str,
    zone_name: str,
    style: str = "paper",
    met: BoolArray | None = None,
    chosen: dt.date | None = None,
) -> str:
    """Draw a year of one spot, three days a column.

    Parameters
    ----------
    carpet : Carpet
        The spot's year.
    title : str
        Spot and year.
    zone_name : str
        Clock of the carpet.
    style : {"paper", "dim", "print", "page"}
        Colours.
    met : ndarray of bool, shape (D, T), optional
        Where the wish's light is met; drawn in copper.
    chosen : date, optional
        Marked by an upright line.

    Returns
    -------
    str
        One ``<svg>`` element: darkness, light without sun here, sun, and the wish met. Mornings
        from 04:00 to 11:00; spots whose only light comes later get those hours.

    Raises
    ------
    BadInputError
        If ``met`` has another shape than the carpet, or the style is not known.
    """
    if met is not None and met.shape != carpet.state.shape:
        raise BadInputError(
            f"The wish's cells are {met.shape}, the carpet's {carpet.state.shape}."
        )
    if style not in STYLES:
        raise BadInputError(f"A figure's style is one of {', '.join(STYLES)}, not {style!r}.")
    pen = Pen(style)
    low, high = _hours(carpet)
    pen.box((_LEFT, _TOP), (WIDTH_PX - _LEFT - _RIGHT, PLOT_PX), token="sheet")
    _columns(pen, carpet, (low, high), met)
    _axes(pen, carpet, (low, high))
    if chosen is not None:
        _line_at(pen, carpet, chosen)
    pen.text((_LEFT, 20.0), title, Letters(size=18.0, bold=True))
    sentence = carpet_sentence(carpet, zone_name=zone_name, met=met)
    return pen.figure(
        (WIDTH_PX, _TOP + PLOT_PX + 34.0), title=f"Season carpet: {title}", sentence=sentence
    )


def carpet_sentence(carpet: Carpet, *, zone_name: str, met: BoolArray | None = None) -> str:
    """Say over which days light comes, its earliest and latest clearing, and the wish's spans."""
    lit = ~np.isnat(carpet.first_sun_utc)
    if not lit.any():
        return "No direct light reaches this spot all year."
    parts = [f"Direct light on {_spans_words(carpet, lit)}"]
    minutes = np.array([_minute(utc, zone_name) for utc in carpet.first_sun_utc[lit]])
    first = carpet.first_sun_utc[lit]
    earliest, latest = first[minutes.argmin()], first[minutes.argmax()]
    parts.append(
        f"first light from {clock(earliest, zone_name)} ({_day(earliest)}) to "
        f"{clock(latest, zone_name)} ({_day(latest)})"
    )
    if met is not None:
        days = np.asarray(met.any(axis=1), dtype=np.bool_)
        parts.append(
            f"the wish's light on {_spans_words(carpet, days)}"
            if days.any()
            else "the wish's light on no day"
        )
    return "; ".join(parts) + "."


def _spans_words(carpet: Carpet, chosen: BoolArray) -> str:
    edges = np.flatnonzero(np.diff(np.concatenate([[False], chosen, [False]]).astype(np.int8)))
    spans = edges.reshape(-1, 2)
    if len(spans) == 1 and spans[0, 0] == 0 and spans[0, 1] == carpet.days.size:
        return "every day"
    return ", and ".join(
        f"{_day(carpet.days[start])} to {_day(carpet.days[end - 1])}" for start, end in spans
    )


def _day(utc: np.datetime64) -> str:
    day: dt.date = utc.astype("datetime64[D]").astype(dt.date)
    return f"{day.day} {day:%B}"


def _minute(utc: np.datetime64, zone_name: str) -> int:
    hours, minutes = clock(utc, zone_name).split(":")
    return int(hours) * 60 + int(minutes)


def _hours(carpet: Carpet) -> tuple[int, int]:
    """Clock span drawn: the morning, or seven hours round the light of an evening spot."""
    morning = (carpet.clock_min >= _FIRST_MIN) & (carpet.clock_min < _LAST_MIN)
    sunny = carpet.state == SUN
    if sunny.any() and not sunny[:, morning].any():
        middle = int(np.median(carpet.clock_min[sunny.any(axis=0)]))
        low = min(max(middle // 60 * 60 - 210, 0), 24 * 60 - 420)
        return low, low + 420
    return _FIRST_MIN, _LAST_MIN


def _columns(pen: Pen, carpet: Carpet, span: tuple[int, int], met: BoolArray | None) -> None:
    rows = np.flatnonzero((carpet.clock_min >= span[0]) & (carpet.clock_min < span[1]))
    if not rows.size:
        return
    step_px = PLOT_PX / rows.size
    for day in range(0, carpet.days.size, _DAYS_A_STEP):
        left = _x(carpet, day)
        wide = _x(carpet, min(day + _DAYS_A_STEP, carpet.days.size)) - left + 0.3
        state = carpet.state[day, rows].copy()
        if met is not None:
            state[met[day, rows]] = SUN + 1
        edges = [0, *(np.flatnonzero(np.diff(state)) + 1).tolist(), rows.size]
        for start, end in pairwise(edges):
            token = _TOKENS.get(int(state[start]), "light")
            if token == "sheet":
                continue
            top = _TOP + start * step_px
            tall = (end - start) * step_px
            if pen.is_print and token == "light":
                _hatched(pen, (left, top), (wide, tall))
            else:
                pen.box((left, top), (wide, tall), token=token)
    _first_light(pen, carpet, rows, step_px)


def _hatched(pen: Pen, corner: tuple[float, float], size: tuple[float, float]) -> None:
    """Draw upright strokes instead of a colour."""
    middle = corner[0] + size[0] / 2.0
    pen.line((middle, corner[1]), (middle, corner[1] + size[1]), width=3.0)


def _first_light(pen: Pen, carpet: Carpet, rows: IntArray, step_px: float) -> None:
    """Draw the line along which direct light begins, a step a column, broken where none comes."""
    run: list[tuple[float, float]] = []
    for day in range(0, carpet.days.size, _DAYS_A_STEP):
        sunny = np.flatnonzero(carpet.state[day, rows] == SUN)
        if not sunny.size or sunny[0] == 0:
            if run:
                pen.path(run, token="mist-ink", width=1.4)
            run = []
            continue
        y = _TOP + float(sunny[0]) * step_px
        run += [(_x(carpet, day), y), (_x(carpet, min(day + _DAYS_A_STEP, carpet.days.size)), y)]
    if run:
        pen.path(run, token="mist-ink", width=1.4)


def _axes(pen: Pen, carpet: Carpet, span: tuple[int, int]) -> None:
    for minute in range(span[0], span[1] + 1, 60):
        y = _TOP + (minute - span[0]) / (span[1] - span[0]) * PLOT_PX
        pen.line((_LEFT, y), (WIDTH_PX - _RIGHT, y), token="line", opacity=0.55)
        said = f"{minute // 60:02d}:00"
        pen.text((_LEFT - 8.0, y + 5.0), said, Letters(size=14.5, token="ink2", anchor="end"))
    bottom = _TOP + PLOT_PX
    pen.line((_LEFT, bottom), (WIDTH_PX - _RIGHT, bottom), width=1.5)
    months = carpet.days.astype("datetime64[M]")
    for index in [0, *(np.flatnonzero(np.diff(months).astype(np.int64)) + 1).tolist()]:
        x = _x(carpet, index)
        pen.line((x, bottom), (x, bottom + 6.0))
        day: dt.date = carpet.days[index].astype("datetime64[D]").astype(dt.date)
        pen.text((x + 4.0, bottom + 21.0), f"{day:%b}", Letters(size=14.5))


def _line_at(pen: Pen, carpet: Carpet, chosen: dt.date) -> None:
    index = int((np.datetime64(chosen) - carpet.days[0].astype("datetime64[D]")).astype(int))
    if not 0 <= index < carpet.days.size:
        raise BadInputError(f"{chosen} is not on this carpet.")
    x = _x(carpet, index) + 0.5
    pen.line((x, _TOP), (x, _TOP + PLOT_PX), token="sheet", width=6.0)
    pen.line((x, _TOP), (x, _TOP + PLOT_PX + 8.0), width=2.0)
    look = Letters(size=15.0, bold=True, anchor="middle", plate="ground")
    at = (min(max(x, 90.0), WIDTH_PX - 60.0), _TOP - 8.0)
    pen.text(at, f"{chosen.day} {chosen:%b}", look)


def _x(carpet: Carpet, index: int) -> float:
    return _LEFT + index / carpet.days.size * (WIDTH_PX - _LEFT - _RIGHT)
