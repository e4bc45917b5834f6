"""The gap ruler: which way to step, how far and how exactly; bark parted by air, over a rule."""

from itertools import pairwise

from shivelight.drawing.figure import Figure
from shivelight.drawing.fit import cut_to
from shivelight.drawing.gap_ruler_words import (
    GapRuler,
    Lane,
    drift_words,
    place_words,
    ruler_headers,
    ruler_readings,
    ruler_rows,
    ruler_sentence,
    spans_over,
)
from shivelight.drawing.svg import Letters, Pen

__all__ = ["FULL_LANE_DEG", "GapRuler", "Lane", "gap_ruler_figure", "gap_ruler_svg"]

FULL_LANE_DEG = 1.6
"""A gap of this size fills its lane. [°]"""
LANE_PX, HILL_PX, RULE_PX = 44.0, 64.0, 58.0
PAGE_PX, PHONE_PX, PRINT_PX = 928.0, 358.0, 690.0
_LEFT_PX, _RIGHT_PX, _TOP_PX = 146.0, 14.0, 48.0
_INCH_M = 0.0254
_CM_STEPS = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0)
_INCH_STEPS = (1.0, 2.0, 6.0, 12.0, 24.0, 60.0, 120.0, 240.0)
_ENDS = {"x": ("left", "right"), "y": ("back", "forward"), "z": ("down", "up")}


def gap_ruler_figure(ruler: GapRuler) -> Figure:
    """Draw the gap ruler for a page and a phone, with a reading for every position.

    Parameters
    ----------
    ruler : GapRuler
        Gaps along a line through the mark.
    """
    back, on = _ENDS[ruler.along]
    return Figure(
        page=gap_ruler_svg(ruler, style="page"),
        phone=gap_ruler_svg(ruler, style="narrow"),
        sentence=ruler_sentence(ruler),
        readings=ruler_readings(ruler),
        headers=ruler_headers(ruler),
        rows=ruler_rows(ruler),
        page_left_px=_LEFT_PX,
        page_right_px=_RIGHT_PX,
        phone_left_px=_RIGHT_PX,
        phone_right_px=_RIGHT_PX,
        back=back,
        on=on,
    )


def gap_ruler_svg(ruler: GapRuler, *, style: str = "paper") -> str:
    """Draw a lane for each pair, the hill of the smallest gap, and a rule of two edges.

    Parameters
    ----------
    ruler : GapRuler
        Gaps along a line through the mark.
    style : {"paper", "dim", "print", "page", "narrow"}
        Colours; "narrow" is for a phone, "print" fits one A4.

    Returns
    -------
    str
        One ``<svg>`` element. Positions run evenly from the left edge of the lanes to the right.
    """
    return _Drawing(ruler, style).whole()


class _Drawing:
    """Draws the parts of one ruler."""

    def __init__(self, ruler: GapRuler, style: str) -> None:
        self.ruler, self.pen = ruler, Pen(style)
        self.narrow = style == "narrow"
        self.width = PHONE_PX if self.narrow else PRINT_PX if style == "print" else PAGE_PX
        self.left = _RIGHT_PX if self.narrow else _LEFT_PX
        self.right = self.width - _RIGHT_PX
        self.pitch = LANE_PX + (26.0 if self.narrow else 8.0)
        self.lanes_top = _TOP_PX + (22.0 if self.narrow else 8.0)
        self.lanes_end = self.lanes_top + self.pitch * len(ruler.lanes)
        self.hill_foot = self.lanes_end + (34.0 if self.narrow else 6.0) + HILL_PX
        self.low, self.high = ruler.positions_m[0], ruler.positions_m[-1]

    def x(self, position_m: float) -> float:
        position_m = min(max(position_m, self.low), self.high)
        share = (position_m - self.low) / (self.high - self.low)
        return self.left + share * (self.right - self.left)

    def whole(self) -> str:
        for number, lane in enumerate(self.ruler.lanes):
            self.lane(lane, self.lanes_top + number * self.pitch)
        self.hill()
        self.rule()
        self.best()
        size = (self.width, self.hill_foot + RULE_PX + 30.0)
        title = f"Gap ruler for {len(self.ruler.lanes) + 1} elements"
        return self.pen.figure(size, title=title, sentence=ruler_sentence(self.ruler))

    def lane(self, lane: Lane, top: float) -> None:
        """Draw bark, and the slit of air in it; hatched where it is a kiss."""
        pen, middle = self.pen, top + LANE_PX / 2.0
        pair = Letters(size=15.5, bold=True, anchor="start" if self.narrow else "end")
        at = (self.left, top - 6.0) if self.narrow else (self.left - 14.0, middle + 5.5)
        room = self.right - self.left if self.narrow else self.left - 16.0
        name = cut_to(f"{lane.left} | {lane.right}", room_px=room, size_px=15.5, face="field-700")
        pen.text(at, name, pair)
        pen.box((self.left, top), (self.right - self.left, LANE_PX), token="bark")
        spans = spans_over(self.ruler.positions_m, lane.gap_deg, 0.0)
        for span in spans:
            upper = [(x, middle - half) for x, half in self.slit(lane, span)]
            lower = [(x, middle + half) for x, half in reversed(self.slit(lane, span))]
            pen.area([*upper, *lower], token="air")
        self.kisses(lane, middle)
        self.unknown(lane, top)
        self.lane_words(lane, middle, spans)

    def slit(self, lane: Lane, span: tuple[float, float]) -> list[tuple[float, float]]:
        """Half-heights of a slit from end to end, points on a straight line left out."""
        inner = [
            (at, gap)
            for at, gap in zip(self.ruler.positions_m, lane.gap_deg, strict=True)
            if span[0] < at < span[1]
        ]
        course = [(span[0], self.ruler.at(lane, span[0])), *inner]
        course.append((span[1], self.ruler.at(lane, span[1])))
        points = [
            (self.x(at), min(max(gap, 0.0) / FULL_LANE_DEG, 1.0) * (LANE_PX / 2.0 - 1.5))
            for at, gap in course
        ]
        return _thinned(points)

    def kisses(self, lane: Lane, middle: float) -> None:
        """Hatch the slit where it is open but not comfortable."""
        ruler = self.ruler
        x = self.left + 2.5
        while x < self.right:
            at = self.low + (x - self.left) / (self.right - self.left) * (self.high - self.low)
            gap = ruler.at(lane, at)
            if 0.0 < gap < ruler.least_gap_deg:
                half = gap / FULL_LANE_DEG * (LANE_PX / 2.0 - 1.5)
                self.pen.line((x, middle - half), (x, middle + half), width=2.4)
            x += 5.0

    def unknown(self, lane: Lane, top: float) -> None:
        """Leave an empty lane with a broken edge where a pair is not seen."""
        course = [0.0 if gap != gap else -1.0 for gap in lane.gap_deg]  # noqa: PLR0124  NaN
        for low, high in spans_over(self.ruler.positions_m, course, 0.0):
            left, right = self.x(low), self.x(high)
            self.pen.box((left, top), (right - left, LANE_PX), token="ground")
            edge = [(left, top), (right, top), (right, top + LANE_PX), (left, top + LANE_PX)]
            self.pen.path([*edge, edge[0]], token="ink2", dash="3 4")

    def lane_words(
        self, lane: Lane, middle: float, spans: tuple[tuple[float, float], ...]
    ) -> None:
        """Write "open" and "closed" where there is room, clear of the drift frame."""
        flipped = [-gap for gap in lane.gap_deg]
        front = f"{lane.nearer} stands in front of {lane.farther}" if lane.nearer else "closed"
        closed = spans_over(self.ruler.positions_m, flipped, 0.0)
        for found, words, token in ((spans, "open", "on-air"), (closed, front, "on-bark")):
            for span in found:
                self.word_in(span, middle, (words, "closed" if token == "on-bark" else ""), token)

    def word_in(
        self, span: tuple[float, float], middle: float, words: tuple[str, str], token: str
    ) -> None:
        left, right = self.x(span[0]) + 6.0, self.x(span[1]) - 6.0
        if self.ruler.drift is not None:  # the longer side of the frame
            low, high = self.x(self.ruler.drift[0]) - 8.0, self.x(self.ruler.drift[1]) + 8.0
            if low < right and high > left:
                left, right = (left, low) if low - left >= right - high else (high, right)
        if token == "on-air":  # a slit tapers: its words stand at its wider end
            right, left = right - (right - left) * 0.15, left + (right - left) * 0.15
        for word in words:
            if word and len(word) * 8.4 < right - left:
                look = Letters(size=14.5, bold=True, anchor="middle", token=token)
                self.pen.text(((left + right) / 2.0, middle + 5.0), word, look)
                return

    def hill(self) -> None:
        """Draw the smallest gap: grey where open, copper where comfortable."""
        pen, ruler, foot = self.pen, self.ruler, self.hill_foot
        smallest = ruler.smallest_deg
        highest = max((gap for gap in smallest if gap > 0.0), default=0.0)
        top_deg = max(2.0 * ruler.least_gap_deg, 1.15 * highest)
        pen.box((self.left, foot - HILL_PX), (self.right - self.left, HILL_PX), token="sheet")
        lane = Lane(left="", right="", gap_deg=smallest)
        for limit, token in ((0.0, "shade"), (ruler.least_gap_deg, "light")):
            for span in spans_over(ruler.positions_m, smallest, limit):
                inner = [a for a in ruler.positions_m if span[0] < a < span[1]]
                tops = [
                    (self.x(at), foot - max(ruler.at(lane, at), 0.0) / top_deg * HILL_PX)
                    for at in (span[0], *inner, span[1])
                ]
                tops = _thinned(tops)
                pen.area([(tops[0][0], foot), *tops, (tops[-1][0], foot)], token=token)
        y = foot - ruler.least_gap_deg / top_deg * HILL_PX
        pen.line((self.left, y), (self.right, y), dash="5 4")
        said = f"{ruler.least_gap_deg:.2f}°, your least comfortable gap"
        note = Letters(size=14.5, token="ink2", plate="sheet")
        at = (self.left, foot - HILL_PX - 8.0) if self.narrow else (self.left + 8.0, y - 6.0)
        if not self.narrow:
            bold = Letters(size=15.5, bold=True, anchor="end")
            pen.text((self.left - 14.0, foot - HILL_PX / 2.0 - 4.0), "smallest", bold)
            pen.text((self.left - 14.0, foot - HILL_PX / 2.0 + 14.0), "gap", bold)
        else:
            said = f"smallest gap; broken line {ruler.least_gap_deg:.2f}°"
        pen.text(at, said, note)

    def rule(self) -> None:
        """Draw the rule: cm on its upper edge, inches on its lower, nought at the mark."""
        pen, top, foot = self.pen, self.hill_foot, self.hill_foot + RULE_PX
        pen.box((self.left, top), (self.right - self.left, RULE_PX), token="sheet")
        edge = [(self.left, top), (self.right, top), (self.right, foot), (self.left, foot)]
        pen.path([*edge, edge[0]], width=1.5)
        self.edge(top, 1.0, unit_m=0.01, steps=_CM_STEPS)
        self.edge(foot, -1.0, unit_m=_INCH_M, steps=_INCH_STEPS)
        back, on = _ENDS[self.ruler.along]
        ends = Letters(size=14.5, token="ink2")
        pen.text((self.left, foot + 20.0), back, ends)
        pen.text((self.right, foot + 20.0), on, Letters(size=14.5, token="ink2", anchor="end"))
        if not self.narrow:
            side = Letters(size=14.5, token="ink2", anchor="end")
            pen.text((self.left - 14.0, top + 22.0), "cm", side)
            pen.text((self.left - 14.0, foot - 12.0), "inches", side)
        if self.low <= 0.0 <= self.high:
            x = self.x(0.0)
            pen.line((x, top - 6.0), (x, top + 10.0), width=2.4)
            pen.line((x, foot - 10.0), (x, foot + 4.0), width=2.4)
            best = self.ruler.best
            if best is None or abs(self.x(best) - x) > (50.0 if self.narrow else 120.0):
                middle = min(max(x, self.left + 70.0), self.right - 70.0)
                look = Letters(size=14.5, bold=True, anchor="middle")
                pen.text((middle, foot + 20.0), "your mark", look)

    def edge(self, y: float, down: float, *, unit_m: float, steps: tuple[float, ...]) -> None:
        """Draw the ticks and numbers of one edge, no closer than they can be read."""
        per_unit = (self.right - self.left) / (self.high - self.low) * unit_m
        small = next((one for one in steps if one * per_unit >= 3.5), steps[-1])
        large = next((one for one in steps if one * per_unit >= 46.0), steps[-1])
        is_cm = down > 0.0
        for count in range(
            round(self.low / unit_m / small) - 1, round(self.high / unit_m / small) + 2
        ):
            at = count * small
            x = self.left + (at - self.low / unit_m) * per_unit
            if not self.left - 0.01 <= x <= self.right + 0.01:
                continue
            is_large = abs(at / large - round(at / large)) < 1e-6
            self.pen.line((x, y), (x, y + down * (9.0 if is_large else 4.5)), width=1.0)
            if is_large and (at or is_cm) and self.left + 12.0 < x < self.right - 12.0:
                token = "ink" if is_cm else "ink2"
                look = Letters(size=14.5, bold=is_cm, anchor="middle", token=token)
                words = f"{abs(at):.0f}" + ("" if is_cm else "″")
                self.pen.text((x, y + 23.0 if is_cm else y - 11.0), words, look)

    def best(self) -> None:
        """Draw the drift as a frame through all lanes, and the best place with its foot."""
        ruler, pen, foot = self.ruler, self.pen, self.hill_foot + RULE_PX
        if ruler.best is None:
            pen.text((self.left, 22.0), "No place here clears it", Letters(size=20.0, bold=True))
            return
        x, top = self.x(ruler.best), self.lanes_top - 6.0
        if ruler.drift is not None:
            low, high = self.x(ruler.drift[0]), self.x(ruler.drift[1])
            end = self.lanes_end + 2.0
            frame = [(low, top), (high, top), (high, end), (low, end), (low, top)]
            pen.path(frame, token="light", width=2.4)
        pen.line((x, 40.0), (x, foot), token="light", width=2.0)
        pen.area([(x, foot), (x + 9.0, foot + 14.0), (x - 9.0, foot + 14.0)], token="light")
        middle = min(max(x, self.left + 90.0), self.right - 90.0)
        words = Letters(size=20.0, bold=True, anchor="middle", token="light-ink")
        pen.text((middle, 18.0), place_words(ruler.best, ruler.along), words)
        note = Letters(size=14.5, bold=True, anchor="middle", token="light-ink", plate="ground")
        if ruler.drift is not None:
            pen.text((middle, 36.0), f"drift {drift_words(ruler.drift, ruler.along)}", note)
        if self.narrow:  # the words above the frame say it
            return
        side = "start" if x + 110.0 < self.right - 50.0 else "end"
        gap = 14.0 if side == "start" else -14.0
        here = Letters(size=14.5, bold=True, anchor=side, token="light-ink")
        pen.text((x + gap, foot + 20.0), "stand here", here)


def _thinned(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Leave out points that lie within a fiftieth of a pixel of the line past them."""
    kept = points[:1]
    for here, after in pairwise(points[1:]):
        last = kept[-1]
        share = (here[0] - last[0]) / max(after[0] - last[0], 1e-9)
        if abs(here[1] - last[1] - share * (after[1] - last[1])) > 0.02:
            kept.append(here)
    return [*kept, points[-1]]
