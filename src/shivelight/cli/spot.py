"""``spot``: where the tripod stands, and what it waits for."""

from dataclasses import replace
from typing import TYPE_CHECKING, Annotated, Any

import typer

from shivelight.cli import read
from shivelight.cli.options import Field, command, require_said
from shivelight.cli.session import Session

if TYPE_CHECKING:
    from shivelight.outing.spots import Spot, SpotState
    from shivelight.outing.wishes import Wish
    from shivelight.outing.woods import Privacy

app = typer.Typer(help="Spots: the stand point, the view, and the wishes.")
Name = Annotated[str, typer.Argument(metavar="SPOT", help="The spot's name.")]


def _privacy(text: str) -> "Privacy":
    from shivelight.outing.woods import Privacy

    return read.member(text, Privacy, what="class")


def _state(text: str) -> "SpotState":
    from shivelight.outing.spots import SpotState

    return read.member(text, SpotState, what="state")


def _must(text: str) -> "Wish":
    from shivelight.outing.wishes import parse_wish

    return parse_wish(text, must=True)


def _like(text: str) -> "Wish":
    from shivelight.outing.wishes import parse_wish

    return parse_wish(text, must=False)


FIELDS = (
    Field(
        flag="--at",
        key="position",
        metavar="PLACE",
        help="Where the tripod stands: '53.0043 N 5.0912 W', 53.0043,-5.0912, or walk.gpx:NAME.",
        read=read.position,
    ),
    Field(
        flag="--height",
        key="ground_height_m",
        metavar="M",
        help="Height of the ground there above sea level, in m.",
        read=read.reader("height", "m"),
    ),
    Field(
        flag="--view",
        key="view_azimuth_deg",
        metavar="DEG",
        help="True bearing of the lens axis, in degrees.",
        read=read.reader("bearing of view"),
    ),
    Field(
        flag="--lens-height",
        key="lens_height_m",
        metavar="M",
        help="Lens above ground, in m; 1.4 unless said.",
        read=read.reader("lens height", "m"),
    ),
    Field(
        flag="--focal",
        key="focal_length_mm",
        metavar="MM",
        help="Focal length in mm as engraved; 50 unless said.",
        read=read.reader("focal length", "mm"),
    ),
    Field(
        flag="--sensor-width",
        key="sensor_width_mm",
        metavar="MM",
        help="Side of the sensor that lies level, in mm; 36 unless said.",
        read=read.reader("sensor width", "mm"),
    ),
    Field(flag="--subject", key="subject", metavar="WORDS", help="The subject, in words."),
    Field(
        flag="--subject-at",
        key="subject_position",
        metavar="PLACE",
        help="Where the subject stands, when its light differs from the stand point's.",
        read=read.position,
    ),
    Field(
        flag="--transit",
        key="mark.transits",
        metavar="WORDS",
        many=True,
        help="Two things in line, to find the mark again. Again for more.",
    ),
    Field(
        flag="--confirmed",
        key="mark.last_confirmed",
        metavar="DATE",
        help="When somebody last stood there and the transits held.",
        read=read.date,
    ),
    Field(
        flag="--walk",
        key="walk_min",
        metavar="MIN",
        help="Minutes from the parking place by day, when timed.",
        read=read.reader("walk", "min"),
    ),
    Field(
        flag="--under-canopy/--open-sky",
        key="under_canopy",
        help="Whether crowns stand between it and the sun; an edge, ride or glade is open.",
    ),
    Field(flag="--if-not", key="if_not", metavar="WORDS", help="What else to do there."),
    Field(
        flag="--hazard",
        key="hazards",
        metavar="WORD",
        many=True,
        help="Chooses cautions, besides the wood's. Again for more.",
    ),
    Field(
        flag="--class",
        key="privacy",
        metavar="open|district|never",
        help="How much may leave the book; district unless said.",
        read=_privacy,
    ),
    Field(flag="--note", key="note", metavar="WORDS", help="Anything."),
)
WISHES = (
    Field(
        flag="--must",
        key="musts",
        metavar="WISH",
        many=True,
        help="What has to hold: 'mist 120 to 260 m', 'direct light', ... Again for more.",
        read=_must,
    ),
    Field(
        flag="--like",
        key="likes",
        metavar="WISH",
        many=True,
        help="What would be welcome: 'ground wet'. Again for more.",
        read=_like,
    ),
)
STATE = (
    Field(
        flag="--state",
        key="state",
        metavar="waiting|made|lost",
        help="Where it is in its life.",
        read=_state,
    ),
)


def register(root: typer.Typer) -> None:
    """Add the noun to the command line."""
    root.add_typer(app, name="spot")


@command(
    app,
    "shivelight spot add 'White Post Gap' --wood 'Pinnet Heath' --at '53.0051 N 5.0899 W' \\\n"
    "    --view 118 --focal 135 --walk 12 --must 'sun 2 to 6 deg' --must 'still air'",
    fields=FIELDS + WISHES,
)
def add(
    session: Session,
    spot: Name,
    wood: Annotated[str, typer.Option("--wood", metavar="WOOD", help="The wood it is in.")],
    said: dict[str, Any],
) -> None:
    """Add a spot to a wood."""
    from shivelight.cli.say.spot import page
    from shivelight.outing.spots import Spot

    require_said(said, "position", "--at '53.0051 N 5.0899 W'", keep=True)
    require_said(said, "view_azimuth_deg", "--view 118", keep=True)
    wishes = (*said.pop("musts", ()), *said.pop("likes", ()))
    made = Spot(name=spot, wood=wood, wishes=wishes, **_gathered(said, None))
    with session.bench() as bench:
        session.show(bench.add_spot(made), page)


@command(app, "shivelight spot list", "shivelight spot list --wood 'Pinnet Heath'")
def list_(
    session: Session,
    wood: Annotated[
        str | None, typer.Option("--wood", metavar="WOOD", help="Of this wood only.")
    ] = None,
) -> None:
    """List spots with what they wait for."""
    from shivelight.cli.say.spot import spots

    with session.bench() as bench:
        session.show(bench.spots(wood), spots)


@command(app, "shivelight spot show 'White Post Gap'")
def show(session: Session, spot: Name) -> None:
    """Show one spot with its wishes and its mark."""
    from shivelight.cli.say.spot import page

    with session.bench() as bench:
        session.show(bench.spot(spot), page)


@command(
    app,
    "shivelight spot wish 'White Post Gap' 'mist 120 to 260 m'",
    "shivelight spot wish 'White Post Gap' 'ground wet' --like",
)
def wish(
    session: Session,
    spot: Name,
    text: Annotated[str, typer.Argument(metavar="WISH", help="The wish, in words.")],
    like: Annotated[
        bool, typer.Option("--like", help="Welcome, but no must.", show_default=False)
    ] = False,
) -> None:
    """Add a wish to a spot: a must, or with --like a would-like."""
    from shivelight.cli.say.spot import page

    with session.bench() as bench:
        session.show(bench.wish(spot, text, must=not like), page)


@command(app, "shivelight spot unwish 'White Post Gap' 'ground wet'")
def unwish(
    session: Session,
    spot: Name,
    text: Annotated[str, typer.Argument(metavar="WISH", help="The wish, as it is shown.")],
) -> None:
    """Take a wish back."""
    from shivelight.cli.say.spot import page

    with session.bench() as bench:
        session.show(bench.unwish(spot, text), page)


@command(
    app,
    "shivelight spot change 'White Post Gap' --walk 14 --confirmed 2027-10-20",
    fields=FIELDS + STATE,
)
def change(session: Session, spot: Name, said: dict[str, Any]) -> None:
    """Change what is typed and leave the rest."""
    from shivelight.cli.say.spot import page

    with session.bench() as bench:
        session.show(bench.change_spot(spot, **_gathered(said, bench.spot(spot))), page)


@command(app, "shivelight spot remove 'White Post Gap'")
def remove(session: Session, spot: Name) -> None:
    """Mark a spot lost; its history stays."""
    from shivelight.cli.say.spot import page

    with session.bench() as bench:
        session.show(bench.remove_spot(spot), page)


def _gathered(said: dict[str, Any], old: "Spot | None") -> dict[str, Any]:
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
