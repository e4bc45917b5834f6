"""The morning strip: mist from below, light from above, where they meet, and the leaf's air."""

from dataclasses import dataclass
from zlib import crc32

import numpy as np

from shivelight.basis.chances import chance_in_words
from shivelight.basis.errors import BadInputError
from shivelight.basis.instants import clock
from shivelight.drawing.fit import cut_to, width_px
from shivelight.drawing.strip_key import draw_key
from shivelight.drawing.strip_parts import draw_darkness, draw_lances, draw_leaf, draw_mist
from shivelight.drawing.strip_words import strip_sentence, window_words
from shivelight.drawing.svg import STYLES, Letters, Pen
from shivelight.drawing.timescale import TimeScale, draw_axis, morning_span
from shivelight.outing.judgement import Almanac, SpotOutlook

MOST_STRIPS = 5
_RANKS = ("first", "second", "third", "fourth", "fifth")


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Sizes of one strip [px]."""

    plot: float
    label: float
    leaf: float
    after: float
    letters: float
    name: float = 0.0


_WIDE = Layout(plot=112.0, label=30.0, leaf=28.0, after=18.0, letters=15.0)
_NARROW = Layout(plot=84.0, label=28.0, leaf=28.0, after=16.0, letters=15.0, name=50.0)
_PRINT = Layout(plot=62.0, label=24.0, leaf=25.0, after=8.0, letters=14.0, name=40.0)
STRIP_MARGIN_PX = 196.0
STRIP_SCALE_PX = 64.0


def morning_strip_svg(
    outlooks: tuple[SpotOutlook, ...],
    *,
    zone_name: str,
    width_px: float,
    style: str = "paper",
    key: bool = True,
    almanac: Almanac | None = None,
) -> str:
    """Draw up to five spots over one time axis, best first.

    Parameters
    ----------
    outlooks : tuple of SpotOutlook
        Spots of one morning; the sixth and later ones are left to words.
    zone_name : str
        Clock of the axis.
    width_px : float
        Width of the figure. [px]
    style : {"paper", "dim", "print", "narrow", "page"}
        Colours and sizes; "narrow" and "page" take their colours from the page.
    key : bool
        Whether to explain the shapes beneath (the first figure of a page).
    almanac : Almanac, optional
        For darkness, civil dawn and flat sunrise.

    Returns
    -------
    str
        One ``<svg>`` element.

    Raises
    ------
    BadInputError
        If there is nothing to draw or the style is not known.
    """
    if not outlooks:
        raise BadInputError("There is no spot to draw a morning strip for.")
    if style not in STYLES:
        raise BadInputError(f"A figure's style is one of {', '.join(STYLES)}, not {style!r}.")
    shown = outlooks[:MOST_STRIPS]
    sheet = _Sheet(shown, width_px, style=style, almanac=almanac, zone_name=zone_name)
    for rank, outlook in enumerate(shown):
        sheet.strip(outlook, rank)
    sheet.axis()
    if key and style not in {"print"}:
        sheet.key()
    names = ", ".join(outlook.spot for outlook in shown)
    sentence = " ".join(strip_sentence(one, zone_name=zone_name) for one in shown)
    return sheet.pen.figure(
        (width_px, sheet.y), title=f"Morning strip: {names}", sentence=sentence
    )


class _Sheet:
    """Where on the figure the next thing goes."""

    def __init__(
        self,
        outlooks: tuple[SpotOutlook, ...],
        width_px: float,
        *,
        style: str,
        almanac: Almanac | None,
        zone_name: str,
    ) -> None:
        self.pen = Pen(style)
        self.narrow = style in {"narrow", "print"} or width_px < 560.0
        self.layout = _PRINT if style == "print" else _NARROW if self.narrow else _WIDE
        self.stacked = len(outlooks) > 1
        self.name = f"{crc32('|'.join(one.spot for one in outlooks).encode()):x}"
        self.zone_name = zone_name
        self.almanac = almanac
        self.width_px = width_px
        left = STRIP_MARGIN_PX if self.stacked and not self.narrow else 2.0
        right = width_px - (2.0 if self.narrow else STRIP_SCALE_PX)
        start, end = morning_span(outlooks, almanac)
        self.scale = TimeScale(start_utc=start, end_utc=end, left_px=left, right_px=right)
        self.y = 0.0
        self.pen.add(
            f'<defs><linearGradient id="{self._soft}" x1="0" y1="1" x2="0" y2="0">'
            f'<stop offset="0" stop-color="{self.pen.paint("mist")}"/>'
            f'<stop offset="1" stop-color="{self.pen.paint("mist")}" stop-opacity="0"/>'
            "</linearGradient></defs>"
        )

    @property
    def _sunrise_words(self) -> str:
        return "flat sunrise" if self.narrow else "sunrise on a flat horizon"

    @property
    def _soft(self) -> str:
        # Told apart, since one page may hold several figures.
        return f"soft-{self.pen.style}-{self.width_px:.0f}-{self.name}"

    def strip(self, outlook: SpotOutlook, rank: int) -> None:
        """Draw one spot."""
        pen, scale, layout = self.pen, self.scale, self.layout
        if self.stacked and self.narrow:
            self._name_above(outlook, rank)
        top = self.y + layout.label
        ground = top + layout.plot
        pen.box((scale.left_px, top), (scale.right_px - scale.left_px, layout.plot), token="sheet")
        dawn = self.almanac.civil_dawn_utc if self.almanac is not None else None
        draw_darkness(pen, scale, (top, ground), dawn_utc=dawn)
        draw_mist(pen, scale, (top, ground), outlook=outlook, soft=self._soft)
        draw_lances(pen, scale, (top, ground), outlook=outlook)
        sunrise = self.almanac.sunrise_utc if self.almanac is not None else None
        if sunrise is not None and scale.holds(sunrise):
            x = scale.x(sunrise)
            pen.line((x, top), (x, ground), token="ink2", dash="2 4")
        pen.line((scale.left_px, ground), (scale.right_px, ground), width=1.5)
        self._bracket(outlook, top=top, ground=ground)
        self._count(outlook, ground=ground, dawn=dawn)
        draw_leaf(pen, scale, ground + 5.0, outlook=outlook)
        if not self.narrow:
            self._scale(top, ground)
        if self.stacked and not self.narrow:
            self._name_beside(outlook, rank, top=top)
        self.y = ground + layout.leaf + (layout.after if self.stacked else 2.0)

    def axis(self) -> None:
        """Draw the one axis, and what the almanac knows."""
        draw_axis(
            self.pen,
            self.scale,
            top_px=self.y,
            zone_name=self.zone_name,
            size=self.layout.letters,
        )
        top = self.y
        self.y += 14.0 + self.layout.letters
        notes = []
        if self.almanac is not None:
            notes = [
                (utc, words)
                for utc, words in (
                    (self.almanac.civil_dawn_utc, "civil dawn"),
                    (self.almanac.sunrise_utc, self._sunrise_words),
                )
                if utc is not None and self.scale.holds(utc)
            ]
        size = self.layout.letters - 0.5
        for row, (utc, _) in enumerate(notes):
            foot = self.y + size - 4.0 + row * (size + 5.0)
            self.pen.path(
                [(self.scale.x(utc), top), (self.scale.x(utc), foot)], token="ink2", dash="2 3"
            )
        for utc, words in notes:
            self._almanac_note(utc, words)
        self.y += 6.0

    def key(self) -> None:
        """Explain the shapes."""
        self.y += 10.0
        left = 0.0 if self.narrow else self.scale.left_px
        self.y += draw_key(
            self.pen, (left, self.y), room_px=self.width_px - left, narrow=self.narrow
        )

    def _almanac_note(self, utc: np.datetime64, words: str) -> None:
        x, size = self.scale.x(utc), self.layout.letters - 0.5
        said = f"{words} {clock(utc, self.zone_name)}"
        fits = x + 8.0 + width_px(said, size_px=size) <= self.width_px
        at = (x + 6.0 if fits else x - 6.0, self.y + size)
        anchor = "start" if fits else "end"
        self.pen.text(at, said, Letters(size=size, token="ink2", anchor=anchor, plate="ground"))
        self.y += size + 5.0

    def _bracket(self, outlook: SpotOutlook, *, top: float, ground: float) -> None:
        best, pen, size = outlook.best, self.pen, self.layout.letters + 1.0
        if best is None:
            pen.text(
                (self.scale.left_px, top - 9.0),
                "all you want does not come together",
                Letters(size=size, bold=True),
            )
            return
        left, right = self.scale.x(best.start_utc), self.scale.x(best.end_utc)
        roof = top - 5.0
        pen.path([(left, ground), (left, roof), (right, roof), (right, ground)], width=3.0)
        if outlook.best_high is not None and outlook.best_high > best.end_utc:
            late = self.scale.x(outlook.best_high)
            pen.line((right, roof), (late, roof), width=3.0, dash="3 4")
        words = window_words(outlook, zone_name=self.zone_name, brief=self.narrow)
        wide = width_px(words, size_px=size, face="field-700")
        start = min(max(left - 1.5, 0.0), self.width_px - wide - 1.0)
        pen.text((max(start, 0.0), roof - 8.0), words, Letters(size=size, bold=True))

    def _count(self, outlook: SpotOutlook, *, ground: float, dawn: np.datetime64 | None) -> None:
        record = outlook.record
        chance = float(np.nanmax(outlook.mist.fog_frac)) if outlook.mist.fog_frac.size else 0.0
        if record is not None and record.mornings:
            brief = f"{record.found} of {record.mornings}"
            words = f"{brief} mornings"
        else:
            words = chance_in_words(chance)
            brief = words.removeprefix("about ")
        x = 6.0 + (self.scale.x(dawn) if dawn is not None else self.scale.left_px)
        size = self.layout.letters - 0.5
        wide = width_px(words, size_px=size, face="field-700")
        posts = [] if outlook.best is None else [outlook.best.start_utc, outlook.best.end_utc]
        crossed = any(x - 4.0 < self.scale.x(utc) < x + wide + 5.0 for utc in posts)
        said = brief if self.narrow or crossed else words
        self.pen.text((x, ground - 7.0), said, Letters(size=size, bold=True, plate="sheet"))

    def _scale(self, top: float, ground: float) -> None:
        for share, words in ((1.0, "10 in 10"), (0.5, "5 in 10")):
            y = ground - share * (ground - top)
            self.pen.line((self.scale.right_px, y), (self.scale.right_px + 6.0, y), token="ink2")
            self.pen.text(
                (self.scale.right_px + 10.0, y + 5.0), words, Letters(size=14.5, token="ink2")
            )

    def _name_above(self, outlook: SpotOutlook, rank: int) -> None:
        room = self.width_px - 4.0
        big = fitting_size(outlook.spot, self.layout.letters + 5.0, room_px=room, bold=True)
        name = cut_to(outlook.spot, room_px=room, size_px=big, face="field-700")
        self.pen.text((2.0, self.y + big), name, Letters(size=big, bold=True))
        said = "; ".join(_under_name(outlook, rank, self.zone_name))
        size = fitting_size(said, self.layout.letters, room_px=room)
        said = cut_to(said, room_px=room, size_px=size)
        self.pen.text((2.0, self.y + big + size + 4.0), said, Letters(size=size, token="ink2"))
        self.y += self.layout.name

    def _name_beside(self, outlook: SpotOutlook, rank: int, *, top: float) -> None:
        right = self.scale.left_px - 22.0
        lines = _under_name(outlook, rank, self.zone_name)
        self.pen.text((right, top + 8.0), lines[0], Letters(size=15, token="ink2", anchor="end"))
        size = fitting_size(outlook.spot, 20.0, room_px=right, bold=True)
        name = cut_to(outlook.spot, room_px=right, size_px=size, face="field-700")
        self.pen.text((right, top + 30.0), name, Letters(size=size, bold=True, anchor="end"))
        for row, line in enumerate(lines[1:]):
            at = (right, top + 51.0 + 20.0 * row)
            short = cut_to(line, room_px=right, size_px=15.0)
            self.pen.text(at, short, Letters(size=15, token="ink2", anchor="end"))


def fitting_size(words: str, size_px: float, *, room_px: float, bold: bool = False) -> float:
    """Give the size at which words fit a line, no larger than asked and never under 11. [px]."""
    wide = width_px(words, size_px=size_px, face="field-700" if bold else "field-400")
    return max(min(size_px, size_px * room_px / wide if wide else size_px), 11.0)


def _under_name(outlook: SpotOutlook, rank: int, zone_name: str) -> tuple[str, ...]:
    lines = [_RANKS[rank], outlook.wood]
    if outlook.set_out_utc is not None:
        lines.append(f"leave {clock(outlook.set_out_utc, zone_name)}")
    return tuple(lines)
