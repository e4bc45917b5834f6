"""Drawing a wood's outline: what is typed, where it lies in the picture, what a tap adds."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from shivelight.basis.errors import BadInputError, ShivelightError
from shivelight.basis.places import Position, destination, distance_and_azimuth
from shivelight.land.square import LinearDegrees
from shivelight.web.contexts.woods_ground import GroundFigure, picture_link, place_words
from shivelight.workbench import read
from shivelight.workbench.fields.woods import write_place
from shivelight.workbench.relief_view import ReliefView

SIZES_PX = (720, 356, 288)
"""Sides at which the picture is shown, so that a tap can be read without any script. [px]"""
CLOSER = 0.6
SHIFT = 0.6
"""How much of the half side a picture moves or shrinks by; a judgement."""
MOST_LINES = 2_000
"""More lines than an outline can have corners are a file's text, which is not drawn as it is."""
LEAST_M, MOST_M = 40.0, 20_000.0
GRID_STEPS = 48
"""Heights are sent along at so many steps a side, for the reading of the crosshair."""
WAYS = {"north": 0.0, "east": 90.0, "south": 180.0, "west": 270.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Dot:
    """A place of the draft in the picture [px of 720], with its number or letter."""

    x_px: float
    y_px: float
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Heights:
    """Ground at ``steps + 1`` places a side, row by row from the north; None: not known. [m]."""

    steps: int
    heights_m: tuple[float | None, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlinePage:
    """The page on which an outline is drawn.

    Attributes
    ----------
    name : str
        Whose.
    answer : str
        What is drawn so far, in a sentence.
    ground : GroundFigure
        The picture under it.
    pictures : tuple of (int, str)
        Side and address of the picture for each size at which it can be tapped.
    outline, parking : str
        As typed.
    sets : {"corner", "parking"}
        What a tap sets.
    corners : tuple of Dot
        Those that can be read.
    car : Dot or None
        Where the car stands.
    edge : str
        The corners as SVG points.
    latitude, longitude, radius_m : str
        Of the picture, as they are sent along.
    degrees : LinearDegrees
        For a pointer's reading.
    heights : Heights
        For the same.
    margin : tuple of str
        Where the picture comes from, how much it shows, how fine a tap is.
    reading : str
        What was set last.
    wrong, wrong_parking : str
        Why it was not taken.
    """

    name: str
    answer: str
    ground: GroundFigure
    pictures: tuple[tuple[int, str], ...]
    outline: str
    parking: str
    sets: str
    corners: tuple[Dot, ...]
    car: Dot | None
    edge: str
    latitude: str
    longitude: str
    radius_m: str
    degrees: LinearDegrees
    heights: Heights
    margin: tuple[str, ...]
    reading: str
    wrong: str
    wrong_parking: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """What the form holds between two sendings."""

    outline: str
    parking: str
    sets: str = "corner"
    reading: str = ""
    wrong: str = ""
    wrong_parking: str = ""


def outline_page(view: ReliefView, ground: GroundFigure, draft: Draft) -> OutlinePage:
    """Put the page together."""
    corners = readable(draft.outline)
    places = [pixel_of(view.degrees, one) for one in corners]
    parked = readable(draft.parking)
    dots = tuple(
        Dot(x_px=x, y_px=y, name=str(number)) for number, (x, y) in enumerate(places, start=1)
    )
    car = pixel_of(view.degrees, parked[0]) if parked else None
    centre = view.square.centre
    return OutlinePage(
        name=view.wood,
        answer=_answer(corners),
        ground=ground,
        pictures=tuple((side, picture_link(view) if view.png else "") for side in SIZES_PX),
        outline=draft.outline,
        parking=draft.parking,
        sets=draft.sets,
        corners=dots,
        car=None if car is None else Dot(x_px=car[0], y_px=car[1], name="parking"),
        edge=" ".join(f"{dot.x_px:g},{dot.y_px:g}" for dot in dots),
        latitude=f"{centre.latitude_deg:.7f}",
        longitude=f"{centre.longitude_deg:.7f}",
        radius_m=f"{view.square.radius_m:.6g}",
        degrees=view.degrees,
        heights=_heights(view),
        margin=(f"{view.source.rstrip('.')}.", *_fine(view)),
        reading=draft.reading or "Nothing is set yet on this picture.",
        wrong=draft.wrong,
        wrong_parking=draft.wrong_parking,
    )


def readable(text: str) -> tuple[Position, ...]:
    """Read the lines that are places, passing over those that are not yet."""
    found = []
    for line in text.splitlines()[:MOST_LINES]:
        try:
            found.append(read.place(line))
        except ShivelightError:
            continue
    return tuple(found)


def pixel_of(degrees: LinearDegrees, place: Position) -> tuple[float, float]:
    """Where a place lies in the picture, by the straight fit turned round. [px]."""
    north = place.latitude_deg - degrees.latitude_deg
    east = (place.longitude_deg - degrees.longitude_deg + 180.0) % 360.0 - 180.0
    a, b = degrees.latitude_per_x_deg, degrees.latitude_per_y_deg
    c, d = degrees.longitude_per_x_deg, degrees.longitude_per_y_deg
    whole = a * d - b * c
    x, y = (north * d - b * east) / whole, (a * east - c * north) / whole
    return round(_held(x), 1), round(_held(y), 1)


def _held(number: float) -> float:
    """Keep far-off places within what a drawing can hold."""
    return min(max(number, -1e6), 1e6)


def tapped(draft: Draft, place: Position) -> Draft:
    """Add what a tap sets."""
    words = place_words(place.latitude_deg, place.longitude_deg)
    height = "" if place.ground_height_m is None else f"; ground {place.ground_height_m:.0f} m"
    if draft.sets == "parking":
        said = f"Parking: {words}{height}."
        return Draft(
            outline=draft.outline, parking=write_place(place), sets="parking", reading=said
        )
    lines = [line for line in draft.outline.splitlines() if line.strip()]
    before = readable(draft.outline)
    far = ""
    if before:
        far = f"; {distance_and_azimuth(before[-1], place)[0]:.0f} m from the last"
    return Draft(
        outline="\n".join([*lines, write_place(place)]),
        parking=draft.parking,
        reading=f"Corner {len(before) + 1}: {words}{height}{far}.",
    )


def taken_back(draft: Draft) -> Draft:
    """Take the last corner back."""
    lines = [line for line in draft.outline.splitlines() if line.strip()]
    words = f"Corner {len(lines)} is taken back." if lines else "There is no corner to take back."
    return Draft(
        outline="\n".join(lines[:-1]), parking=draft.parking, sets=draft.sets, reading=words
    )


def moved(centre: Position, radius_m: float, way: str) -> tuple[Position, float]:
    """Move or change the square that is shown."""
    if way == "closer":
        return centre, max(radius_m * CLOSER, LEAST_M)
    if way == "wider":
        return centre, min(radius_m / CLOSER, MOST_M)
    return destination(centre, azimuth_deg=WAYS[way], distance_m=radius_m * SHIFT), radius_m


def tap_of(typed: Mapping[str, str]) -> tuple[float, float] | None:
    """Read where a picture was tapped, as fractions from its top left; None for no tap.

    Raises
    ------
    BadInputError
        If the numbers are none.
    """
    for side in SIZES_PX:
        x, y = typed.get(f"at{side}.x"), typed.get(f"at{side}.y")
        if x is None or y is None:
            continue
        try:
            found = (float(x) + 0.5) / side, (float(y) + 0.5) / side
        except ValueError as why:
            raise BadInputError("Where the picture was tapped is no number.") from why
        if not all(math.isfinite(part) for part in found):
            raise BadInputError("Where the picture was tapped is no number.")
        return min(max(found[0], 0.0), 1.0), min(max(found[1], 0.0), 1.0)
    return None


def _answer(corners: Sequence[Position]) -> str:
    if not corners:
        return "No corner yet. Tap the picture along the wood's edge, one corner after another."
    if len(corners) < 3:
        need = 3 - len(corners)
        have = "1 corner" if len(corners) == 1 else f"{len(corners)} corners"
        return f"{have}; {need} more at least make an outline."
    closed = [*corners, corners[0]]
    round_m = sum(distance_and_azimuth(one, other)[0] for one, other in pairwise(closed))
    return f"{len(corners)} corners, {_length(round_m)} round. Nothing is kept before you say so."


def _length(metres: float) -> str:
    return f"{metres / 1000.0:.1f} km" if metres >= 1000.0 else f"{metres:.0f} m"


def _fine(view: ReliefView) -> tuple[str, ...]:
    side = view.square.radius_m * 2.0
    return (
        f"{side:,.0f} m across; a pixel is {view.pixel_m:.2g} m.",
        "A tap is read to a pixel.",
    )


def _heights(view: ReliefView) -> Heights:
    if view.heights_m is None:
        return Heights(steps=0, heights_m=())
    step_px = view.square.side_px / GRID_STEPS
    along = [number * step_px for number in range(GRID_STEPS + 1)]
    found = view.heights_at_m(along * len(along), y_px=[y for y in along for _ in along])
    return Heights(
        steps=GRID_STEPS,
        heights_m=tuple(round(one, 1) if math.isfinite(one) else None for one in found.tolist()),
    )
