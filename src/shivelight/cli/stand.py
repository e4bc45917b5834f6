"""``stand``: where to put the tripod."""

from pathlib import Path
from typing import Annotated, Any

import typer

from shivelight.cli.options import command
from shivelight.cli.session import Session
from shivelight.workbench.fields.stand import REACHED, WISHED, wished

app = typer.Typer(help="Stand points: which way to step, and how far.")
Spot = Annotated[str, typer.Argument(metavar="SPOT", help="The spot's name.")]
Out = Annotated[
    Path, typer.Option("--out", metavar="FILE", help="Where to; .svg, for the frame .png too.")
]


def register(root: typer.Typer) -> None:
    """Add the noun to the command line."""
    root.add_typer(app, name="stand")


@command(
    app,
    "shivelight stand find 'Plumb and Lean'",
    "shivelight stand find 'Plumb and Lean' --reach 1.2 --forward 1 --heights 0.6-1.6 \\\n"
    "    --part Plumb/Lean --least 0.3 --print 60",
    "shivelight stand find 'Plumb and Lean' --take 1 --picture frame.svg",
    fields=WISHED + REACHED,
)
def find(
    session: Session,
    spot: Spot,
    said: dict[str, Any],
    take: Annotated[
        int,
        typer.Option(
            "--take", metavar="N", help="Keep this answer as a stand.", show_default=False
        ),
    ] = 0,
    picture: Annotated[
        Path | None,
        typer.Option(
            "--picture", metavar="FILE", help="Draw the best stand's frame: .svg or .png.",
            show_default=False,
        ),
    ] = None,
) -> None:  # fmt: skip
    """Find where to stand so that what should part does."""
    from shivelight.cli.say.stand import found, with_picture
    from shivelight.workbench.stand_files import write_frame

    with session.bench() as bench:
        framing, reach = wished(said, bench.framing_of(spot))
        answer = bench.find_stand(spot, framing, reach, take=take)
        file = None if picture is None else write_frame(bench, answer, picture)
    session.show(answer, with_picture(found, file))


@command(
    app,
    "shivelight stand wish 'Plumb and Lean' --part Plumb/Lean --part Crook/Plumb --reach 1.2",
    fields=WISHED + REACHED,
)
def wish(session: Session, spot: Spot, said: dict[str, Any]) -> None:
    """Keep what is wished of the picture and how far to go for it."""
    from shivelight.cli.say.stand import page

    with session.bench() as bench:
        framing, reach = wished(said, bench.framing_of(spot))
        session.show(bench.wish_framing(spot, framing, reach), page)


@command(app, "shivelight stand show 'Plumb and Lean'")
def show(session: Session, spot: Spot) -> None:
    """Show what is wished of the picture, and the stands that were taken."""
    from shivelight.cli.say.stand import page

    with session.bench() as bench:
        session.show(bench.stand(spot), page)


@command(
    app,
    "shivelight stand draw 'Plumb and Lean' ruler --out ruler.svg",
    "shivelight stand draw 'Plumb and Lean' frame --out frame.png --right 0.65 --mist 120",
)
def draw(
    session: Session,
    spot: Spot,
    what: Annotated[str, typer.Argument(metavar="WHAT", help="ruler, plan, frame or mark.")],
    out: Out,
    right: Annotated[
        float,
        typer.Option("--right", metavar="M", help="Of the frame: right of the mark, in m."),
    ] = 0.0,
    forward: Annotated[
        float,
        typer.Option("--forward", metavar="M", help="Of the frame: forward of the mark, in m."),
    ] = 0.0,
    mist: Annotated[
        float | None,
        typer.Option("--mist", metavar="M", help="Of the frame: optical range in m."),
    ] = None,
) -> None:
    """Draw the gap ruler, the plan, the frame or the find-it-again strip."""
    from shivelight.cli.say.stand import written
    from shivelight.workbench.stand_files import write_stand_picture

    with session.bench() as bench:
        file = write_stand_picture(
            bench, spot, what, out=out, right_m=right, forward_m=forward, mist_range_m=mist
        )
        session.show(file, written)
