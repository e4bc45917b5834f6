"""What is typed about a wood and about getting in."""

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from shivelight.workbench import read
from shivelight.workbench.fields.field import Field

if TYPE_CHECKING:
    from shivelight.basis.places import Position
    from shivelight.outing.woods import MistHabit, Privacy

CLASSES = ("open", "district", "never")


def read_class(text: str) -> "Privacy":
    """Read a privacy class."""
    from shivelight.outing.woods import Privacy

    return read.member(text, Privacy, what="class")


def write_place(place: "Position") -> str:
    """Write a position as decimal degrees that read back to within a centimetre."""
    return f"{place.latitude_deg:.7f}, {place.longitude_deg:.7f}"


def read_corner(text: str) -> tuple[float, float]:
    """Read a corner from its degrees alone."""
    place = read.place(text)
    return place.latitude_deg, place.longitude_deg


def _write_corner(corner: tuple[float, float]) -> str:
    return f"{corner[0]:.7f}, {corner[1]:.7f}"


WOOD = (
    Field(
        flag="--parking",
        key="parking",
        metavar="PLACE",
        help="Where the car stands: '53.0012 N 5.1003 W', 53.0012,-5.1003, or walk.gpx:NAME.",
        read=read.position,
        label="Where the car stands",
        hint="As a map or phone gives it: 53.0012 N 5.1003 W, or 53.0012, -5.1003.",
        place=read.place,
        write=write_place,
    ),
    Field(
        flag="--height",
        key="ground_height_m",
        metavar="M",
        help="Height above sea level of the ground that matters, in m.",
        read=read.reader("height", "m"),
        label="Height of the ground",
        unit="m above sea level",
        hint="Where the mist and the spots are; within 10 m is enough to begin.",
    ),
    Field(
        flag="--clock",
        key="zone_name",
        metavar="ZONE",
        help="Zone of the wood's clock, such as Europe/London; else that of --zone.",
        label="Clock",
        hint="Time zone of the wood, such as Europe/London.",
    ),
    Field(
        flag="--stand",
        key="stand",
        metavar="TYPE",
        help="Stand: beech, oak, birch, pine, spruce, larch, alder-carr, hazel-coppice, "
        "wood-pasture, open; mixed unless said.",
        label="Stand",
        words=(
            "mixed",
            "beech",
            "oak",
            "birch",
            "pine",
            "spruce",
            "larch",
            "alder-carr",
            "hazel-coppice",
            "wood-pasture",
            "open",
        ),
    ),
    Field(
        flag="--corner",
        key="outline",
        metavar="PLACE",
        many=True,
        help="A corner of its edge; give three or more, in order.",
        read=read.corner,
        label="Corners of its edge",
        hint="One a line, three or more, in order.",
        place=read_corner,
        write=_write_corner,
    ),
    Field(
        flag="--hollow-depth",
        key="habit.hollow_depth_m",
        metavar="M",
        help="How far its floor lies below its surroundings, in m; 0 on a slope or top.",
        read=read.reader("hollow depth", "m"),
        label="Floor below its surroundings",
        unit="m",
        hint="0 on a slope or top.",
    ),
    Field(
        flag="--near-water/--no-water",
        key="habit.near_water",
        help="Whether open water, pools or a carr are in or beside it.",
        label="Open water, pools or a carr in or beside it",
        words=("yes", "no"),
    ),
    Field(
        flag="--fog-top",
        key="habit.fog_top_m",
        metavar="M",
        help="Height above sea level that valley fog usually reaches here, in m.",
        read=read.reader("fog top", "m"),
        label="Valley fog usually reaches",
        unit="m above sea level",
        hint="Its top, where you have seen it from above; empty when you never have.",
    ),
    Field(
        flag="--mist-depth",
        key="habit.depth_m",
        metavar="M",
        help="How deep the mist usually lies where light comes through it, in m.",
        read=read.reader("mist depth", "m"),
        label="Mist usually lies",
        unit="m deep",
        hint="Where light comes through it.",
    ),
    Field(
        flag="--mist-note",
        key="habit.note",
        metavar="WORDS",
        help="How mist behaves here, in words.",
        label="How mist behaves here",
    ),
    Field(
        flag="--road",
        key="road_min",
        metavar="MIN",
        help="Minutes by road from home.",
        read=read.reader("road time", "min"),
        label="By road from home",
        unit="min",
    ),
    Field(
        flag="--class",
        key="privacy",
        metavar="open|district|never",
        help="How much of the place may leave the book; district unless said.",
        read=read_class,
        label="How much of the place may leave the book",
        words=CLASSES,
        hint="Open: all of it. District: only the neighbourhood. Never: nothing.",
    ),
    Field(
        flag="--hazard",
        key="hazards",
        metavar="WORD",
        many=True,
        help="Chooses cautions: ash, water, bog, cliff, deer, stalking, felling. Again for more.",
        label="Hazards",
        hint="One a line; they choose cautions: ash, water, bog, cliff, deer, stalking, felling.",
    ),
    Field(flag="--note", key="note", metavar="WORDS", help="Why go.", label="Why go"),
)
ACCESS = (
    Field(
        flag="--noted-on",
        key="noted_on",
        metavar="DATE",
        help="When it was learned; today unless said.",
        read=read.date,
        label="Noted on",
        hint="2027-11-03; today unless said.",
    ),
    Field(
        flag="--from",
        key="from_day",
        metavar="DATE",
        help="From when it holds.",
        read=read.date,
        label="Holds from",
        hint="2027-11-03; empty when it always has.",
    ),
    Field(
        flag="--to",
        key="to_day",
        metavar="DATE",
        help="Until when.",
        read=read.date,
        label="Holds until",
        hint="2028-02-01; empty when no end is known.",
    ),
    Field(
        flag="--closes/--open",
        key="closes",
        help="Whether it speaks against going while it holds.",
        label="Does it speak against going while it holds?",
        words=("yes", "no"),
    ),
    Field(
        flag="--contact", key="contact", metavar="WORDS", help="Whom to ask.", label="Whom to ask"
    ),
)


def with_habit(said: dict[str, Any], habit: "MistHabit") -> dict[str, Any]:
    """Gather the mist fields that were typed into one habit."""
    typed = {key.split(".")[1]: one for key, one in said.items() if key.startswith("habit.")}
    rest = {key: one for key, one in said.items() if not key.startswith("habit.")}
    return {**rest, "habit": replace(habit, **typed)} if typed else rest
