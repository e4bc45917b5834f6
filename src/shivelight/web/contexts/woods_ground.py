"""A wood's ground as a figure: the picture, what lies over it, its places as a table."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from hashlib import sha256

from shivelight.web.show import link
from shivelight.workbench.relief_view import ReliefMark, ReliefView

PAGE_PX, PHONE_PX = 720, 356
"""Sides of the picture on a wide page and on a phone, which is drawn anew, not shrunk. [px]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundMark:
    """One place in the picture; ``x_frac, y_frac`` count from its top left corner."""

    words: str
    x_frac: float
    y_frac: float


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundFigure:
    """The ground of a wood.

    Attributes
    ----------
    picture : str
        Address of the shaded picture; empty for a plain grid.
    page, phone : str
        SVG that lies over it.
    sentence : str
        What is seen, in words.
    source : str
        Files and fineness, or why there is no picture.
    marks : tuple of GroundMark
        Places that are in the picture.
    headers, rows : tuple
        All places as a table.
    """

    picture: str
    page: str
    phone: str
    sentence: str
    source: str
    marks: tuple[GroundMark, ...]
    headers: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def ground_figure(
    page: ReliefView,
    phone: ReliefView,
    overlay: Callable[[ReliefView], str],
    *,
    kinds: tuple[str, ...] = ("corner", "parking", "spot"),
) -> GroundFigure:
    """Put a ground together.

    Parameters
    ----------
    page, phone : ReliefView
        The same square with :data:`PAGE_PX` and :data:`PHONE_PX` pixels a side.
    overlay : callable
        Draws what lies over a picture.
    kinds : tuple of str
        Which marks are drawn; the others are left to a form.
    """
    shown = [one for one in page.marks if one.kind in kinds]
    side = float(page.square.side_px)
    return GroundFigure(
        picture="" if page.png is None else picture_link(page),
        page=overlay(_only(page, kinds)),
        phone=overlay(_only(phone, kinds)),
        sentence=page.sentence,
        source=page.source,
        marks=tuple(
            GroundMark(
                words=mark_words(one),
                x_frac=round(one.x_px / side, 4),
                y_frac=round(one.y_px / side, 4),
            )
            for one in shown
            if 0.0 <= one.x_px <= side and 0.0 <= one.y_px <= side
        ),
        headers=("place", "latitude", "longitude", "ground"),
        rows=tuple(
            (
                _called(one),
                f"{one.latitude_deg:.5f}",
                f"{one.longitude_deg:.5f}",
                "not known" if one.height_m is None else f"{one.height_m:.0f} m",
            )
            for one in shown
        ),
    )


def picture_link(view: ReliefView) -> str:
    """Write the address of a view's picture; it changes with the rasters behind it."""
    square = view.square
    return link(
        "/wood/relief.png",
        name=view.wood,
        latitude=f"{square.centre.latitude_deg:.7f}",
        longitude=f"{square.centre.longitude_deg:.7f}",
        radius_m=f"{square.radius_m:g}",
        side=square.side_px,
        of=sha256(view.source.encode()).hexdigest()[:8],
    )


def mark_words(mark: ReliefMark) -> str:
    """Say a place and its height."""
    place = place_words(mark.latitude_deg, mark.longitude_deg)
    height = "" if mark.height_m is None else f"; ground {mark.height_m:.0f} m"
    return f"{_called(mark)}: {place}{height}"


def place_words(latitude_deg: float, longitude_deg: float) -> str:
    """Write a place: "53.00430 N, 5.09120 W"."""
    north, east = "NS"[latitude_deg < 0.0], "EW"[longitude_deg < 0.0]
    return f"{abs(latitude_deg):.5f} {north}, {abs(longitude_deg):.5f} {east}"


def _called(mark: ReliefMark) -> str:
    return {"corner": f"corner {mark.name}", "parking": "parking"}.get(mark.kind, mark.name)


def _only(view: ReliefView, kinds: tuple[str, ...]) -> ReliefView:
    return replace(view, marks=tuple(one for one in view.marks if one.kind in kinds))
