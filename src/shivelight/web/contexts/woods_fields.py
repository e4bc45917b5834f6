"""Boxes that the pages of woods have beside those of ``workbench.fields.woods``."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from shivelight.basis.errors import OutOfRangeError, ShivelightError
from shivelight.basis.instants import zone
from shivelight.outing.wishes import LEAF_STAGES
from shivelight.outing.woods import MistHabit, Privacy, Wood, require_name
from shivelight.web.boxes import RefusedError
from shivelight.web.contexts.woods import sentence
from shivelight.workbench import read
from shivelight.workbench.fields.field import Field
from shivelight.workbench.fields.woods import ACCESS, WOOD, with_habit

NAME = (
    Field(
        flag="",
        key="name",
        metavar="WOOD",
        help="The wood's name.",
        label="Name",
        hint="What you call it, such as Pinnet Heath.",
    ),
)
FACT = (
    Field(
        flag="",
        key="what",
        metavar="WHAT",
        help="The fact, in words.",
        label="What is known",
        hint="Such as: footpath, slippery.",
    ),
    *ACCESS,
)
SEASON = (
    Field(
        flag="--day",
        key="day",
        metavar="DATE",
        help="When it was seen.",
        read=read.date,
        label="Seen on",
        hint="2027-11-03; today unless said.",
    ),
    Field(
        flag="--stage",
        key="stage",
        metavar="STAGE",
        help="Stage of the leaves.",
        label="Leaves",
        words=LEAF_STAGES,
    ),
    Field(
        flag="",
        key="words",
        metavar="WORDS",
        help="What was seen.",
        label="What was seen",
        hint="Such as: bracken down.",
    ),
)
RASTER = (
    Field(
        flag="--kind",
        key="kind",
        metavar="KIND",
        help="What the raster holds.",
        label="What it holds",
        words=("ground", "canopy", "surface"),
        hint="Ground: the bare earth. Canopy: how high crowns stand over it. Surface: tree tops "
        "and roofs above the sea.",
    ),
    Field(
        flag="--height-unit",
        key="height_unit",
        metavar="UNIT",
        help="Unit of its heights, where the file does not say.",
        label="Heights in, where the file does not say",
        words=("m", "ft"),
    ),
    Field(
        flag="--crs",
        key="crs",
        metavar="CRS",
        help="Coordinate system of an ASCII grid.",
        label="Coordinate system of an ASCII grid",
        hint="Such as EPSG:27700; a GeoTIFF says it itself.",
    ),
)
ASKED = frozenset({"name", "parking", "ground_height_m", "zone_name"})
PARTS = (
    ("Where it is", ("name", "parking", "ground_height_m", "zone_name")),
    ("What stands there", ("stand", "hazards", "outline")),
    (
        "How mist behaves",
        ("habit.hollow_depth_m", "habit.near_water", "habit.fog_top_m", "habit.depth_m",
         "habit.note"),
    ),
    ("Going there", ("note", "road_min", "privacy")),
)  # fmt: skip
"""Which boxes stand together, in the order of the page."""
BARE = {
    "stand": "mixed", "privacy": Privacy.DISTRICT, "note": "", "habit.hollow_depth_m": 0.0,
    "habit.near_water": False, "habit.depth_m": MistHabit().depth_m, "habit.note": "",
}  # fmt: skip
"""What an empty box stands for."""
_BOX_OF = {
    "ground height": "ground_height_m", "road time": "road_min",
    "hollow depth": "habit.hollow_depth_m", "mist depth": "habit.depth_m",
    "top of valley fog": "habit.fog_top_m", "latitude": "outline", "longitude": "outline",
}  # fmt: skip
"""Which box a number outside its limits belongs to."""


def wood_values(wood: Wood) -> dict[str, Any]:
    """Values of a wood by the keys of its boxes."""
    return {
        "name": wood.name,
        **{
            field.key: getattr(wood.habit, field.key.removeprefix("habit."))
            if field.key.startswith("habit.")
            else getattr(wood, field.key)
            for field in WOOD
        },
    }


def wood_from(said: Mapping[str, Any], old: Wood | None, typed: Mapping[str, str]) -> Wood:
    """Make the wood that a form says.

    Parameters
    ----------
    said : mapping
        Values by key; None for what was left empty.
    old : Wood, optional
        As it was; keeps what the form cannot say, such as the finest digits of its places.
    typed : mapping
        The form, to see which boxes were left as they were.

    Raises
    ------
    RefusedError
        If a value is not one that a wood can have; beside its box where that is known.
    """
    whole = {key: BARE.get(key) if value is None else value for key, value in said.items()}
    whole |= _kept(old, typed)
    wrong: dict[str, str] = {}
    for key, check in (("name", _is_name), ("zone_name", zone)):
        try:
            check(str(whole[key]))
        except ShivelightError as why:
            wrong[key] = str(why)
    if wrong:
        raise RefusedError(wrong)
    try:
        told = with_habit(whole, old.habit if old is not None else MistHabit())
        return Wood(**told) if old is None else replace(old, **told)
    except OutOfRangeError as why:
        raise RefusedError({_BOX_OF.get(why.name, ""): sentence(str(why))}) from why
    except ShivelightError as why:
        raise RefusedError({"outline": str(why)}) from why


def _kept(old: Wood | None, typed: Mapping[str, str]) -> dict[str, Any]:
    """Places whose boxes were left alone, to the last digit."""
    if old is None:
        return {}
    values = wood_values(old)
    return {
        field.key: values[field.key]
        for field in WOOD
        if field.key in {"parking", "outline"}
        and typed.get(field.key, "").split() == field.on_page(values[field.key]).split()
    }


def _is_name(name: str) -> None:
    require_name("wood", name)
