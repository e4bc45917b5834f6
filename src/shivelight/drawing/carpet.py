"""The season carpet: the weeks along, the clock down, where light is and where a wish is met."""

import datetime as dt
from itertools import pairwise

import numpy as np

from shivelight.basis.arrays import BoolArray, IntArray
from shivelight.basis.errors import BadInputError
from shivelight.basis.instants import clock
from shivelight.drawing.carpet_words import DAYS_A_STEP, date_words, spans_words
from shivelight.drawing.leaf_row import ROW_PX, LeafYear, draw_leaf_row
from shivelight.drawing.svg import STYLES, Letters, Pen
from shivelight.light.year import DARK, NO_SUCH_TIME, SHADE, SUN, TWILIGHT, Carpet

WIDTH_PX, NARROW_PX = 928.0, 358.0
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
    leaf: LeafYear | None = None,
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
    style : {"paper", "dim", "print", "page", "narrow"}
        Colours; "narrow" is for a phone. "page" and "narrow" leave the title to the page.
    met : ndarray of bool, shape (D, T), optional
        Where the wish's light is met; drawn in copper.
    chosen : date, optional
        Marked by an upright line.
    leaf : LeafYear, optional
        Drawn as a row beneath.

    Returns
    -------
    str
        One ``<svg>`` element: darkness, light without sun here, sun, and the wish met. Mornings
        from 04:00 to 11:00; spots whose light comes later, or is wanted later, get those hours.

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
    plot = _Plot(carpet, hours_drawn(carpet, met), style=style)
    plot.columns(met)
    plot.axes()
    if chosen is not None:
        plot.line_at(chosen)
    if leaf is not None:
        plot.leaf_row(leaf)
    return plot.finish(title, carpet_sentence(carpet, zone_name=zone_name, met=met))


def carpet_sentence(carpet: Carpet, *, zone_name: str, met: BoolArray | None = None) -> str:
    """Say over which days light comes, its earliest and latest clearing, and the wish's spans."""
    lit = ~np.isnat(carpet.first_sun_utc)
    if not lit.any():
        return "No direct light reaches this spot all year."
    parts = [f"Direct light on {spans_words(carpet, lit)}"]
    minutes = np.array([_minute(utc, zone_name) for utc in carpet.first_sun_utc[lit]])
    first = carpet.first_sun_utc[lit]
    earliest, latest = first[minutes.argmin()], first[minutes.argmax()]
    parts.append(
        f"first light from {clock(earliest, zone_name)} ({date_words(earliest)}) to "
        f"{clock(latest, zone_name)} ({date_words(latest)})"
    )
    if met is not None:
        days = np.asarray(met.any(axis=1), dtype=np.bool_)
        parts.append(
            f"the wish's light on {spans_words(carpet, days)}"
            if days.any()
            else "the wish's light on no day"
        )
    return "; ".join(parts) + "."


def _minute(utc: np.datetime64, zone_name: str) -> int:
    hours, minutes = clock(utc, zone_name).split(":")
    return int(hours) * 60 + int(minutes)


def hours_drawn(carpet: Carpet, met: BoolArray | None) -> tuple[int, int]:
    """Clock span drawn: the morning, or seven hours round the light that comes or is wanted.

    Returns
    -------
    first, last : int
        Minutes after midnight; the last one is not drawn. [min]
    """
    morning = (carpet.clock_min >= _FIRST_MIN) & (carpet.clock_min < _LAST_MIN)
    wanted = carpet.state == SUN if met is None or not met.any() else met
    if wanted.any() and not wanted[:, morning].any():
        middle = int(np.median(carpet.clock_min[wanted.any(axis=0)]))
        low = min(max(middle // 60 * 60 - 210, 0), 24 * 60 - 420)
        return low, low + 420
    return _FIRST_MIN, _LAST_MIN


class _Plot:
    """Days to x and minutes to y, on a page or on a phone."""

    def __init__(self, carpet: Carpet, span: tuple[int, int], *, style: str) -> None:
        self.pen = Pen(style)
        self.carpet = carpet
        self.low_min, self.high_min = span
        self.is_narrow = style == "narrow"
        self.is_titled = style not in {"page", "narrow"}
        self.width = NARROW_PX if self.is_narrow else WIDTH_PX
        self.left, self.right = (46.0, 4.0) if self.is_narrow else (58.0, 8.0)
        self.top = 34.0 if self.is_titled else 24.0
        self.tall = 240.0 if self.is_narrow else 300.0
        self.after = 34.0
        self.pen.box(
            (self.left, self.top), (self.width - self.left - self.right, self.tall), token="sheet"
        )

    @property
    def bottom(self) -> float:
        return self.top + self.tall

    def x(self, index: int) -> float:
        return self.left + index / self.carpet.days.size * (self.width - self.left - self.right)

    def columns(self, met: BoolArray | None) -> None:
        """Fill three days a column, by state."""
        carpet = self.carpet
        rows = np.flatnonzero(
            (carpet.clock_min >= self.low_min) & (carpet.clock_min < self.high_min)
        )
        if not rows.size:
            return
        step_px = self.tall / rows.size
        for day in range(0, carpet.days.size, DAYS_A_STEP):
            left = self.x(day)
            wide = self.x(min(day + DAYS_A_STEP, carpet.days.size)) - left + 0.3
            state = carpet.state[day, rows].copy()
            if met is not None:
                state[met[day, rows]] = SUN + 1
            edges = [0, *(np.flatnonzero(np.diff(state)) + 1).tolist(), rows.size]
            for start, end in pairwise(edges):
                token = _TOKENS.get(int(state[start]), "light")
                if token == "sheet":
                    continue
                top = self.top + start * step_px
                tall = (end - start) * step_px
                if self.pen.is_print and token == "light":
                    _hatched(self.pen, (left, top), (wide, tall))
                else:
                    self.pen.box((left, top), (wide, tall), token=token)
        self._first_light(rows, step_px)

    def _first_light(self, rows: IntArray, step_px: float) -> None:
        """Draw where direct light begins, a step a column, broken where none comes."""
        carpet = self.carpet
        run: list[tuple[float, float]] = []
        for day in range(0, carpet.days.size, DAYS_A_STEP):
            sunny = np.flatnonzero(carpet.state[day, rows] == SUN)
            if not sunny.size or sunny[0] == 0:
                if run:
                    self.pen.path(run, token="mist-ink", width=1.4)
                run = []
                continue
            y = self.top + float(sunny[0]) * step_px
            run += [(self.x(day), y), (self.x(min(day + DAYS_A_STEP, carpet.days.size)), y)]
        if run:
            self.pen.path(run, token="mist-ink", width=1.4)

    def axes(self) -> None:
        """Draw the hours at the left and the months beneath."""
        for minute in range(self.low_min, self.high_min + 1, 60):
            share = (minute - self.low_min) / (self.high_min - self.low_min)
            y = self.top + share * self.tall
            self.pen.line((self.left, y), (self.width - self.right, y), token="line", opacity=0.55)
            said = f"{minute // 60:02d}:00"
            look = Letters(size=14.5, token="ink2", anchor="end")
            self.pen.text((self.left - 8.0, y + 5.0), said, look)
        self.pen.line((self.left, self.bottom), (self.width - self.right, self.bottom), width=1.5)
        months = self.carpet.days.astype("datetime64[M]")
        for index in [0, *(np.flatnonzero(np.diff(months).astype(np.int64)) + 1).tolist()]:
            x = self.x(index)
            self.pen.line((x, self.bottom), (x, self.bottom + 6.0))
            day: dt.date = self.carpet.days[index].astype("datetime64[D]").astype(dt.date)
            said = f"{day:%b}"[: 1 if self.is_narrow else 3]
            self.pen.text((x + 4.0, self.bottom + 21.0), said, Letters(size=14.5))

    def line_at(self, chosen: dt.date) -> None:
        """Mark the chosen day."""
        carpet = self.carpet
        index = int((np.datetime64(chosen) - carpet.days[0].astype("datetime64[D]")).astype(int))
        if not 0 <= index < carpet.days.size:
            raise BadInputError(f"{chosen} is not on this carpet.")
        x = self.x(index) + 0.5
        self.pen.line((x, self.top), (x, self.bottom), token="sheet", width=6.0)
        self.pen.line((x, self.top), (x, self.bottom + 8.0), width=2.0)
        look = Letters(size=15.0, bold=True, anchor="middle", plate="ground")
        room = 60.0 if self.is_titled else 28.0
        at = (min(max(x, self.left + 32.0), self.width - room), self.top - 8.0)
        self.pen.text(at, f"{chosen.day} {chosen:%b}", look)

    def leaf_row(self, leaf: LeafYear) -> None:
        """Draw the leaf beneath the dates."""
        top = self.bottom + self.after
        if not self.is_narrow:
            look = Letters(size=14.5, token="ink2", anchor="end")
            self.pen.text((self.left - 8.0, top + 14.0), "leaf", look)
        draw_leaf_row(self.pen, leaf, x=self.x, top_px=top, step_d=9 if self.is_narrow else 5)
        self.after += ROW_PX

    def finish(self, title: str, sentence: str) -> str:
        """Close the figure."""
        if self.is_titled:
            self.pen.text((self.left, 20.0), title, Letters(size=18.0, bold=True))
        size = (self.width, self.bottom + self.after)
        return self.pen.figure(size, title=f"Season carpet: {title}", sentence=sentence)


def _hatched(pen: Pen, corner: tuple[float, float], size: tuple[float, float]) -> None:
    """Draw upright strokes instead of a colour."""
    middle = corner[0] + size[0] / 2.0
    pen.line((middle, corner[1]), (middle, corner[1] + size[1]), width=3.0)
