"""The find-it-again strip: transits as little drawings and in words, distances, the setting."""

import datetime as dt
from dataclasses import dataclass

from shivelight.basis.errors import require_range
from shivelight.drawing.figure import Figure
from shivelight.drawing.fit import wrap
from shivelight.drawing.svg import Letters, Pen
from shivelight.drawing.words import date_words
from shivelight.outing.marks import MarkAnchors, NotedTransit
from shivelight.scene.anchors import SIDE_SIGN
from shivelight.scene.elements import Survey

__all__ = ["MarkSetting", "find_again_figure", "find_again_sentence", "find_again_svg"]

PAGE_PX, PHONE_PX, PRINT_PX = 560.0, 358.0, 340.0
_BOX_PX = (104.0, 78.0)
_LINE_PX, _GAP_PX = 20.0, 12.0
_NEAR_PX, _FAR_PX, _WIDEST_PX = 30.0, 15.0, 46.0
_NEAR_FOOT, _FAR_FOOT = 66.0, 52.0


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkSetting:
    """How the camera stands on the mark, and when the mark was last found right.

    Attributes
    ----------
    lens_height_m : float or None
        Lens above the ground. [m]
    bearing_deg : float or None
        Of the view, from true north. [°]
    focal_length_mm : float or None
        Of the lens. [mm]
    confirmed_on : date or None
        When it was last found right.
    warnings : tuple of str
        What is weak about the anchors, in sentences.
    """

    lens_height_m: float | None = None
    bearing_deg: float | None = None
    focal_length_mm: float | None = None
    confirmed_on: dt.date | None = None
    warnings: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if self.lens_height_m is not None:
            require_range("height of the lens", self.lens_height_m, 0.0, 20.0, "m")
        if self.bearing_deg is not None:
            require_range("bearing of view", self.bearing_deg, 0.0, 360.0, "°")
        if self.focal_length_mm is not None:
            require_range("focal length", self.focal_length_mm, 1.0, 2000.0, "mm")

    @property
    def lines(self) -> tuple[str, ...]:
        """The setting in words, what is not known left out, and when it was last right."""
        said = []
        if self.lens_height_m is not None:
            said.append(f"lens {self.lens_height_m:.2f} m up")
        if self.focal_length_mm is not None:
            said.append(f"{self.focal_length_mm:g} mm")
        if self.bearing_deg is not None:
            said.append(f"view {round(self.bearing_deg) % 360}° true")
        setting = ", ".join(said)
        held = "not yet found again"
        if self.confirmed_on is not None:
            held = f"last found right on {date_words(self.confirmed_on)}"
        lines = (f"{setting[0].upper()}{setting[1:]}.",) if setting else ()
        return (*lines, f"{held[0].upper()}{held[1:]}.")


def find_again_figure(
    anchors: MarkAnchors, setting: MarkSetting, *, survey: Survey | None = None
) -> Figure:
    """Draw the strip for a page and a phone, with its table.

    Parameters
    ----------
    anchors : MarkAnchors
        Transits and distances as kept; what is gone is left out and named.
    setting : MarkSetting
        How the camera stands there.
    survey : Survey, optional
        For the true widths of things side by side.
    """
    rows = [(f"transit {number}", one.words) for number, one in _numbered(anchors)]
    rows += [("distance", one.words) for one in anchors.held_distances]
    rows += [("gone", f"{one.name}, since {date_words(one.noted_on)}") for one in anchors.lost]
    rows += [("setting", line) for line in setting.lines]
    return Figure(
        page=find_again_svg(anchors, setting, survey=survey, style="page"),
        phone=find_again_svg(anchors, setting, survey=survey, style="narrow"),
        sentence=find_again_sentence(anchors, setting),
        headers=("what", "as noted"),
        rows=tuple(rows),
    )


def find_again_svg(
    anchors: MarkAnchors,
    setting: MarkSetting,
    *,
    survey: Survey | None = None,
    style: str = "paper",
) -> str:
    """Draw each transit, two edges in line, beside its words; distances and setting below.

    Parameters
    ----------
    anchors : MarkAnchors
        Transits and distances as kept.
    setting : MarkSetting
        How the camera stands there.
    survey : Survey, optional
        For the true widths of things side by side.
    style : {"paper", "dim", "print", "page", "narrow"}
        Colours and width; "print" fits a face of the folded sheet.
    """
    pen = Pen(style)
    width = {"narrow": PHONE_PX, "print": PRINT_PX}.get(style, PAGE_PX)
    y = 4.0
    for number, transit in _numbered(anchors):
        _drawn(pen, transit, (2.0, y), survey=survey)
        left = _BOX_PX[0] + 16.0
        lines = wrap(f"{number}. {_capital(transit.words)}.", room_px=width - left, size_px=15.5)
        top = y + max((_BOX_PX[1] - _LINE_PX * len(lines)) / 2.0, 0.0)
        for row, line in enumerate(lines):
            pen.text((left, top + 15.0 + row * _LINE_PX), line, Letters(size=15.5))
        y += max(_BOX_PX[1], _LINE_PX * len(lines) + 4.0) + _GAP_PX
    for words, is_bold in _lines(anchors, setting):
        face = "field-700" if is_bold else "field-400"
        for line in wrap(words, room_px=width - 4.0, size_px=15.5, face=face):
            pen.text((2.0, y + 15.0), line, Letters(size=15.5, bold=is_bold))
            y += _LINE_PX
    return pen.figure(
        (width, y + 6.0), title="Find it again", sentence=find_again_sentence(anchors, setting)
    )


def find_again_sentence(anchors: MarkAnchors, setting: MarkSetting) -> str:
    """Say all anchors, what is gone, the setting, and what is weak."""
    said = [f"{_capital(one.words)}." for one in anchors.held_transits]
    said += [words for words, _ in _lines(anchors, setting)]
    return " ".join(said)


def _lines(anchors: MarkAnchors, setting: MarkSetting) -> list[tuple[str, bool]]:
    """Lines under the drawings, and whether each is bold."""
    said = [(f"{_capital(one.words)}.", True) for one in anchors.held_distances]
    if not said and not anchors.held_transits:
        said.append(
            ("No anchor is noted that still stands; the place cannot be found again.", True)
        )
    said += [
        (f"{one.name} is gone since {date_words(one.noted_on)}.", False) for one in anchors.lost
    ]
    said += [(line, False) for line in setting.lines]
    return [*said, *((line, False) for line in setting.warnings)]


def _numbered(anchors: MarkAnchors) -> list[tuple[int, NotedTransit]]:
    return list(enumerate(anchors.held_transits, start=1))


def _drawn(
    pen: Pen, transit: NotedTransit, corner: tuple[float, float], *, survey: Survey | None
) -> None:
    """Draw two uprights with the edges that are meant in one line; the far one is paler."""
    left, top = corner
    wide, tall = _BOX_PX
    line = left + wide / 2.0
    near_px, far_px = _widths(transit, survey)
    pen.box(corner, _BOX_PX, token="sheet")
    pen.line((left, top + _FAR_FOOT), (left + wide, top + _FAR_FOOT), token="line")
    far = _upright(line, far_px, -SIDE_SIGN[transit.far_side])
    near = _upright(line, near_px, -SIDE_SIGN[transit.near_side])
    pen.box((far[0], top), (far[1] - far[0], _FAR_FOOT), token="mist")
    pen.box((near[0], top), (near[1] - near[0], _NEAR_FOOT), token="bark")
    # the far one is hidden where the near one covers it: its outline goes on, broken
    ring = [(far[0], top), (far[0], top + _FAR_FOOT), (far[1], top + _FAR_FOOT), (far[1], top)]
    covered = max(min(near[1], far[1]) - max(near[0], far[0]), 0.0) > 1.0
    pen.path(ring, token="edge", width=1.4, dash="3 3" if covered else "")
    near_ring = [(near[0], top), (near[0], top + _NEAR_FOOT), (near[1], top + _NEAR_FOOT)]
    pen.path([*near_ring, (near[1], top)], token="ink", width=1.4)
    pen.line((line, top), (line, top + tall), token="sheet", width=4.0)
    pen.line((line, top - 3.0), (line, top + tall), token="light", width=2.0, dash="7 3")


def _upright(line: float, width: float, side: float) -> tuple[float, float]:
    """Edges of an upright whose left (1), middle (0) or right (-1) stands on a line."""
    middle = line + side * width / 2.0
    return middle - width / 2.0, middle + width / 2.0


def _widths(transit: NotedTransit, survey: Survey | None) -> tuple[float, float]:
    """Widths of near and far side by side, as they look from the mark where that is known."""
    looks = {
        one.name.casefold(): one.width_m / one.distance_m
        for one in (() if survey is None else survey.trunks)
    }
    near, far = looks.get(transit.near.casefold()), looks.get(transit.far.casefold())
    if near is None or far is None:
        return _NEAR_PX, _FAR_PX
    scale = _WIDEST_PX / max(near, far)
    return max(near * scale, 5.0), max(far * scale, 5.0)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
