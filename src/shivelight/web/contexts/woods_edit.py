"""The forms that add or change a wood, and the points of a file to park at."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from shivelight.outing.woods import Wood
from shivelight.web.boxes import Box, boxes
from shivelight.web.contexts.woods_fields import ASKED, NAME, PARTS, wood_values
from shivelight.web.contexts.woods_ground import place_words
from shivelight.web.forms import Form, Part
from shivelight.web.show import link
from shivelight.wood.stands import find_stand
from shivelight.workbench.fields.woods import WOOD, write_place
from shivelight.workbench.places import NamedPlace

MOST_POINTS = 40
"""Points offered at once; a walked track has thousands, and they are not for parking."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WoodEdit:
    """The form of a wood.

    Attributes
    ----------
    name : str
        Whose; empty for a new one.
    form : Form
        All boxes.
    parts : tuple of Part
        The same in their order on the page.
    offer : str
        What a raster has to say of the height; empty when nothing.
    """

    name: str
    form: Form
    parts: tuple[Part, ...]
    offer: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One point of a file, and the address that takes it."""

    name: str
    place: str
    use: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PointsPage:
    """Points of a file, to choose where the car stands."""

    name: str
    lede: str
    points: tuple[Point, ...]
    back: str


def new_wood(
    *,
    zone_name: str,
    typed: Mapping[str, str] | None = None,
    wrong: Mapping[str, str] | None = None,
    parking: str = "",
    offer: str = "",
) -> WoodEdit:
    """Write the form of a new wood."""
    values = {"zone_name": zone_name or None, "stand": "mixed"}
    filled = _filled(boxes(NAME + WOOD, values, typed=typed, wrong=wrong, asked=ASKED), parking)
    return _edit("", "/wood/new", "Add this wood", filled, wrong=wrong or {}, offer=offer)


def change_wood(
    wood: Wood,
    *,
    typed: Mapping[str, str] | None = None,
    wrong: Mapping[str, str] | None = None,
    parking: str = "",
    height: str = "",
) -> WoodEdit:
    """Write the form that changes a wood, as it stands."""
    values = wood_values(wood) | {"stand": find_stand(wood.stand).name}
    made = boxes(WOOD, values, typed=typed, wrong=wrong, asked=ASKED)
    filled = tuple(
        replace(one, hint=f"{one.hint} {height}".strip()) if one.key == "ground_height_m" else one
        for one in _filled(made, parking)
    )
    return _edit(wood.name, "/wood/edit", "Keep it so", filled, wrong=wrong or {})


def _filled(made: tuple[Box, ...], parking: str) -> tuple[Box, ...]:
    """Fill in a parking place that was chosen."""
    return tuple(
        replace(one, text=parking) if parking and one.key == "parking" else one for one in made
    )


def points_page(name: str, file: str, places: Sequence[NamedPlace]) -> PointsPage:
    """Offer the points of a file: those with names, else its first and last."""
    named = [one for one in places if one.name]
    offered = named or [places[0], *places[-1:]][: len(places)]
    count = f"{len(places)} points" if len(places) != 1 else "1 point"
    lede = f"{file} holds {count}."
    if not named:
        lede += " None has a name, so its first and last are offered."
    elif len(named) > MOST_POINTS:
        lede += f" The first {MOST_POINTS} with names are offered."
    path = "/wood/edit" if name else "/wood/new"
    return PointsPage(
        name=name,
        lede=lede,
        points=tuple(
            Point(
                name=one.name or "without a name",
                place=place_words(one.position.latitude_deg, one.position.longitude_deg),
                use=link(path, name=name, parking=write_place(one.position)),
            )
            for one in offered[:MOST_POINTS]
        ),
        back=link(path, name=name),
    )


def _edit(
    name: str,
    action: str,
    button: str,
    filled: tuple[Box, ...],
    *,
    wrong: Mapping[str, str],
    offer: str = "",
) -> WoodEdit:
    form = Form(
        action=action,
        button=button,
        boxes=filled,
        hidden=(("name", name),) if name else (),
        wrong=wrong.get("", ""),
    )
    by_key = {box.key: box for box in filled}
    parts = []
    for head, keys in PARTS:
        held = tuple(by_key[key] for key in keys if key in by_key)
        parts.append(Part(head=head, boxes=held, is_open=any(box.wrong for box in held)))
    return WoodEdit(name=name, form=form, parts=tuple(parts), offer=offer)
