"""What is typed about a spot."""

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from shivelight.workbench import read
from shivelight.workbench.fields import plainly
from shivelight.workbench.fields.field import Field
from shivelight.workbench.fields.woods import CLASSES, read_class, write_place

if TYPE_CHECKING:
    from shivelight.outing.spots import Spot, SpotState
    from shivelight.outing.wishes import Wish


def _state(text: str) -> "SpotState":
    from shivelight.outing.spots import SpotState

    return read.member(text, SpotState, what="state")


def _must(text: str) -> "Wish":
    return plainly.wish(text, must=True)


def _like(text: str) -> "Wish":
    return plainly.wish(text, must=False)


def _wish_words(wish: "Wish") -> str:
    return wish.words


SPOT = (
    Field(
        flag="--at",
        key="position",
        metavar="PLACE",
        help="Where the tripod stands: '53.0043 N 5.0912 W', 53.0043,-5.0912, or walk.gpx:NAME.",
        read=read.position,
        label="Where the tripod stands",
        hint="53.0043 N 5.0912 W, or 53.0043, -5.0912.",
        place=read.place,
        write=write_place,
    ),
    Field(
        flag="--height",
        key="ground_height_m",
        metavar="M",
        help="Height of the ground there above sea level, in m.",
        read=read.reader("height", "m"),
        label="Height of the ground there",
        unit="m above sea level",
        hint="Left empty, it is taken from the wood's raster, else from the wood.",
    ),
    Field(
        flag="--view",
        key="view_azimuth_deg",
        metavar="DEG",
        help="True bearing of the lens axis, in degrees.",
        read=plainly.bearing_deg,
        label="Which way the lens looks",
        unit="° true",
        hint="Degrees from true north, 90 is east; or a point, such as SE.",
    ),
    Field(
        flag="--lens-height",
        key="lens_height_m",
        metavar="M",
        help="Lens above ground, in m; 1.4 unless said.",
        read=read.reader("lens height", "m"),
        label="Lens above the ground",
        unit="m",
        hint="1.4 unless said.",
    ),
    Field(
        flag="--focal",
        key="focal_length_mm",
        metavar="MM",
        help="Focal length in mm as engraved; 50 unless said.",
        read=read.reader("focal length", "mm"),
        label="Focal length",
        unit="mm",
        hint="As engraved; 50 unless said.",
    ),
    Field(
        flag="--sensor-width",
        key="sensor_width_mm",
        metavar="MM",
        help="Side of the sensor that lies level, in mm; 36 unless said.",
        read=read.reader("sensor width", "mm"),
        label="Side of the sensor that lies level",
        unit="mm",
        hint="36 unless said; 24 for an upright frame on the same body.",
    ),
    Field(
        flag="--subject",
        key="subject",
        metavar="WORDS",
        help="The subject, in words.",
        label="Subject",
        hint="Such as: two leaning oaks over bracken.",
    ),
    Field(
        flag="--subject-at",
        key="subject_position",
        metavar="PLACE",
        help="Where the subject stands, when its light differs from the stand point's.",
        read=read.position,
        label="Where the subject stands",
        hint="Only when its light differs from the stand point's.",
        place=read.place,
        write=write_place,
    ),
    Field(
        flag="--transit",
        key="mark.transits",
        metavar="WORDS",
        many=True,
        help="Two things in line, to find the mark again. Again for more.",
        label="Two things in line, to find it again",
        hint="One pair a line: white post's right edge touches the split birch.",
    ),
    Field(
        flag="--confirmed",
        key="mark.last_confirmed",
        metavar="DATE",
        help="When somebody last stood there and the transits held.",
        read=read.date,
        label="Last stood there, and they held",
        hint="2027-10-20",
    ),
    Field(
        flag="--walk",
        key="walk_min",
        metavar="MIN",
        help="Minutes from the parking place by day, when timed.",
        read=read.reader("walk", "min"),
        label="Walk from the car by day",
        unit="min",
        hint="When you timed it; else it is worked out.",
    ),
    Field(
        flag="--under-canopy/--open-sky",
        key="under_canopy",
        help="Whether crowns stand between it and the sun; an edge, ride or glade is open.",
        label="Between it and the sun",
        words=("crowns", "open sky"),
        hint="An edge, ride or glade is open.",
    ),
    Field(
        flag="--if-not",
        key="if_not",
        metavar="WORDS",
        help="What else to do there.",
        label="What else to do there",
    ),
    Field(
        flag="--hazard",
        key="hazards",
        metavar="WORD",
        many=True,
        help="Chooses cautions, besides the wood's. Again for more.",
        label="Hazards, besides the wood's",
        hint="One a line: ash, water, bog, cliff, deer, stalking, felling.",
    ),
    Field(
        flag="--class",
        key="privacy",
        metavar="open|district|never",
        help="How much may leave the book; district unless said.",
        read=read_class,
        label="How much of it may leave the book",
        words=CLASSES,
        hint="Never less quiet than its wood.",
    ),
    Field(flag="--note", key="note", metavar="WORDS", help="Anything.", label="Note"),
)
WISHES = (
    Field(
        flag="--must",
        key="musts",
        metavar="WISH",
        many=True,
        help="What has to hold: 'mist 120 to 260 m', 'direct light', ... Again for more.",
        read=_must,
        label="Must",
        hint="One a line; all have to hold at once: mist, or mist 120 to 260 m; direct light; "
        "still air.",
        write=_wish_words,
    ),
    Field(
        flag="--like",
        key="likes",
        metavar="WISH",
        many=True,
        help="What would be welcome: 'ground wet'. Again for more.",
        read=_like,
        label="Would like",
        hint="One a line: ground wet, leaf turning or bare, from 15 Apr to 10 May.",
        write=_wish_words,
    ),
)
STATE = (
    Field(
        flag="--state",
        key="state",
        metavar="waiting|made|lost",
        help="Where it is in its life.",
        read=_state,
        label="State",
        words=("waiting", "made", "lost"),
        hint="A lost spot is kept with its history and no longer judged.",
    ),
)


def gathered(said: dict[str, Any], old: "Spot | None") -> dict[str, Any]:
    """Put the height into the position and the transits into the mark."""
    from shivelight.outing.spots import Mark

    rest = {key: one for key, one in said.items() if not key.startswith("mark.")}
    typed = {key.split(".")[1]: one for key, one in said.items() if key.startswith("mark.")}
    if typed:
        rest["mark"] = replace(old.mark if old else Mark(), **typed)
    height_m = rest.pop("ground_height_m", None)
    place = rest.get("position", old.position if old else None)
    if place is not None and height_m is not None:
        rest["position"] = replace(place, ground_height_m=height_m)
    return rest
