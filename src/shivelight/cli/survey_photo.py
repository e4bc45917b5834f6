"""``survey photo``, ``survey pair`` and ``stand after``: trunks marked on photographs."""

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor, wait
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, TypeVar

import typer

from shivelight.basis.errors import BadInputError
from shivelight.cli.options import command
from shivelight.cli.session import Session
from shivelight.cli.stand import app as stand_app
from shivelight.cli.survey import Spot, app

if TYPE_CHECKING:
    from shivelight.cli.say.survey_photo import Told
    from shivelight.scene.photo_marks import TrunkMark
    from shivelight.workbench.bench import Workbench
    from shivelight.workbench.survey_given import PhotoGiven
    from shivelight.workbench.survey_pairs import PairSurvey, PhotoSurvey

T = TypeVar("T")
TICK_S = 0.5
"""How often it is told that long work still goes on. [s]"""
Marks = Annotated[
    list[str],
    typer.Option(
        "--mark",
        metavar="LINE",
        help="A trunk, in pixels of the upright picture: NAME: edges LEFT RIGHT at ROW, foot "
        "COLUMN ROW, width METRES, ROLE. Once for each.",
    ),
]
LensHeight = Annotated[
    str,
    typer.Option(
        "--lens-height",
        metavar="M",
        help="Of the lens above the ground; else as the spot has it.",
        show_default=False,
    ),
]
Tilt = Annotated[
    str,
    typer.Option(
        "--tilt",
        metavar="DEG",
        help="How far up the camera looked, down with a minus; else as the file tells.",
        show_default=False,
    ),
]
Focal = Annotated[
    str,
    typer.Option(
        "--focal", metavar="MM", help="Focal length, if not in the file.", show_default=False
    ),
]
Sensor = Annotated[
    str,
    typer.Option(
        "--sensor-width",
        metavar="MM",
        help="Long side of the sensor, if not in the file.",
        show_default=False,
    ),
]
Keep = Annotated[
    bool,
    typer.Option(
        "--keep", help="Take the trunks into the survey, if taken from the mark.",
        show_default=False,
    ),
]  # fmt: skip


def register(_root: typer.Typer) -> None:
    """Stand under ``survey`` and ``stand``, which add themselves to the command line."""


@command(
    app,
    "shivelight survey photo 'Plumb and Lean' bank.jpg --lens-height 1.4 --tilt 0 \\\n"
    "    --mark 'Plumb: edges 1204 1391 at 2210, foot 1302 3104, subject' \\\n"
    "    --mark 'Lean: edges 2015 2120 at 2210, width 0.42' --keep",
)
def photo(
    session: Session,
    spot: Spot,
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The photograph.")],
    mark: Marks,
    lens_height: LensHeight = "",
    tilt: Tilt = "",
    focal: Focal = "",
    sensor_width: Sensor = "",
    keep: Keep = False,
) -> None:
    """Measure trunks marked on one photograph, each with its error."""
    from shivelight.cli.say.survey_photo import told
    from shivelight.workbench.photo_file import photo_bytes
    from shivelight.workbench.picture_marks import photos_of

    data, marks = photo_bytes(file), _marks(mark)
    with session.bench() as bench:
        given = _given(bench, spot, (lens_height, tilt, focal, sensor_width))
        found = photos_of(bench).marks_on_photo(data, marks, given=given)
        how = f"on the photo {_one_line(file.name)}" if keep else ""
        session.show(_told(bench, spot, found, how=how), told)


@command(
    app,
    "shivelight survey pair 'Plumb and Lean' one.jpg two.jpg --step 0.6 \\\n"
    "    --mark 'Plumb: edges 1204 1391 at 2210, foot 1302 3104, subject' \\\n"
    "    --mark 'Lean: edges 2015 2120 at 2210'",
)
def pair(
    session: Session,
    spot: Spot,
    first: Annotated[Path, typer.Argument(metavar="FIRST", help="The one that is marked.")],
    second: Annotated[Path, typer.Argument(metavar="SECOND", help="The one a step apart.")],
    mark: Marks,
    step: Annotated[
        str, typer.Option("--step", metavar="M", help="How far apart the two were taken.")
    ],
    step_error: Annotated[
        str, typer.Option("--step-error", metavar="M", help="How far out that may be.")
    ] = "0.02",
    lens_height: LensHeight = "",
    tilt: Tilt = "",
    focal: Focal = "",
    sensor_width: Sensor = "",
    keep: Keep = False,
) -> None:
    """Measure trunks on two photographs taken with one lens, a step apart."""
    from shivelight.cli.say.survey_photo import told
    from shivelight.workbench.photo_file import photo_bytes
    from shivelight.workbench.picture_marks import photos_of

    a, b, marks = photo_bytes(first), photo_bytes(second), _marks(mark)
    step_m, error_m = _number(step, "step", "m"), _number(step_error, "error of the step", "m")
    with session.bench() as bench:
        given = _given(bench, spot, (lens_height, tilt, focal, sensor_width))
        desk = photos_of(bench)

        def measured() -> "PairSurvey":
            return desk.pair_of_photos(
                a, b, step_m=step_m, marks=marks, given=(given, given), step_error_m=error_m
            )

        found = _patiently(session, "finding the same points on both photos", measured)
        how = f"on two photos {step_m:g} m apart" if keep else ""
        session.show(_told(bench, spot, found, how=how), told)


@command(
    stand_app,
    "shivelight stand after 'Plumb and Lean' final.jpg \\\n"
    "    --mark 'Plumb: edges 1204 1391 at 2210' --mark 'Lean: edges 2015 2120 at 2210' \\\n"
    "    --mark 'Crook: edges 802 905 at 2210'",
)
def after(
    session: Session,
    spot: Spot,
    final: Annotated[Path, typer.Argument(metavar="FINAL", help="The photograph as made.")],
    mark: Marks,
    tilt: Tilt = "",
    focal: Focal = "",
    sensor_width: Sensor = "",
) -> None:
    """Say how far from the wished place a photograph was taken.

    The wished place is the stand taken last, or the mark where none was taken. Three surveyed
    trunks or more have to be marked.
    """
    from shivelight.cli.say.survey_photo import after_words
    from shivelight.workbench.photo_after import photo_after
    from shivelight.workbench.photo_file import photo_bytes

    data, marks = photo_bytes(final), _marks(mark)
    with session.bench() as bench:
        given = _given(bench, spot, ("", tilt, focal, sensor_width))
        session.show(photo_after(bench, spot, data, marks=marks, given=given), after_words)


def _marks(typed: Sequence[str]) -> "tuple[TrunkMark, ...]":
    """Read marked trunks; none may be marked twice."""
    from shivelight.workbench.typed_marks import read_marks

    marks = read_marks("\n".join(_one_line(one) for one in typed))
    if not marks:
        raise BadInputError(
            "No trunk is marked; write one as --mark 'Plumb: edges 1204 1391 at 2210, foot 1302 "
            "3104'."
        )
    seen: set[str] = set()
    for one in marks:
        if one.name.casefold() in seen:
            raise BadInputError(f"{one.name} is marked twice; give one --mark for each trunk.")
        seen.add(one.name.casefold())
    return marks


def _given(bench: "Workbench", spot: str, typed: tuple[str, str, str, str]) -> "PhotoGiven":
    """Read what is told beside a photograph; the lens height and the ground are the spot's."""
    from shivelight.workbench.survey_given import PhotoGiven

    lens_height, tilt, focal, sensor = typed
    height_m = _number(lens_height, "height of the lens", "m") if lens_height else None
    return PhotoGiven(
        focal_length_mm=_number(focal, "focal length", "mm") if focal else None,
        sensor_width_mm=_number(sensor, "width of the sensor", "mm") if sensor else None,
        lens_height_m=bench.spot(spot).lens_height_m if height_m is None else height_m,
        pitch_deg=_number(tilt, "tilt", "°") if tilt else None,
        slope=bench.kept_survey(spot).survey.slope,
    )


def _told(bench: "Workbench", spot: str, found: "PhotoSurvey | PairSurvey", *, how: str) -> "Told":
    """Put what was measured together; with ``how`` it goes into the survey."""
    from shivelight.cli.say.survey_photo import Told, distance_of
    from shivelight.workbench.picture_marks import take_trunks

    name, kept = bench.spot(spot).name, tuple(one.trunk for one in found.trunks if how)
    if how:
        take_trunks(bench, name, found, how=how)
    return Told(
        spot=name,
        kept=tuple(one.name for one in kept),
        distances=tuple(distance_of(one) for one in found.trunks),
        found=found,
    )


def _patiently(session: Session, step: str, work: Callable[[], T]) -> T:
    """Do work that tells no steps of its own, and tell that it goes on."""
    with session.progress() as progress, ThreadPoolExecutor(1) as pool:
        soon = pool.submit(work)
        while wait([soon], timeout=TICK_S).not_done:
            progress(step, 0, 1)
        return soon.result()


def _number(text: str, what: str, unit: str) -> float:
    from shivelight.workbench import read

    return read.number(text, what=what, unit=unit)


def _one_line(text: str) -> str:
    return " ".join(text.split())
