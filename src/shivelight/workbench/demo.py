"""The demo: load the Wennick valley, live through its evenings, and run the main job once.

Nothing is typed in as an answer: every past evening is entered, judged and logged through the
same workbench that a photographer uses, and what the demo prints is what the judgement says.
"""

import datetime as dt
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from shivelight.basis.instants import to_utc
from shivelight.outing.found import Found
from shivelight.outing.judgement import Morning
from shivelight.workbench.bench import Workbench
from shivelight.workbench.demo_ground import write_valley_ground
from shivelight.workbench.demo_valley import MORNING, Valley, valley
from shivelight.workbench.desk import Progress, silent
from shivelight.workbench.forecast import EveningTyped
from shivelight.workbench.keeping import make_folder
from shivelight.workbench.results import SheetFiles, WordFiles
from shivelight.workbench.settings import Settings
from shivelight.workbench.sheet import WordAsked

MPH_TO_MPS = 0.44704
EVENING = dt.datetime(2027, 11, 2, 21, 40)  # noqa: DTZ001  a wall clock, read in the valley's zone
BOOK_NAME = "wennick.sqlite"
BESIDE = "wennick-demo"
"""Stem of the demo's book where it lies beside a photographer's own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DemoReport:
    """What the demo made and decided."""

    book: Path
    mornings: tuple[Morning, ...]
    sheet: SheetFiles
    word: WordFiles
    now_text: str


def load_demo(settings: Settings, *, progress: Progress = silent) -> Path:
    """Make a new field book with the valley, its past evenings and its logs.

    Parameters
    ----------
    settings : Settings
        Where the book is made; there must be none yet.
    progress : callable
        Told of the steps.
    """
    made = valley()
    path = settings.book_path
    path.parent.mkdir(parents=True, exist_ok=True)
    with Workbench.open(settings, create=True, now=moment(made, made.evenings[0]["at"])) as bench:
        _fill(bench, made, path.parent)
    for number, evening in enumerate(made.evenings):
        progress("living through the valley's evenings", number, len(made.evenings))
        if evening["at"] <= EVENING:
            live_through(settings, made, evening)
    progress("living through the valley's evenings", len(made.evenings), len(made.evenings))
    return path


def run_demo(folder: Path, settings: Settings, *, progress: Progress = silent) -> DemoReport:
    """Load the valley into a folder and run the evening's choice, the sheet and the card.

    Parameters
    ----------
    folder : Path
        Where everything is written; a demo book that is there already is made anew.
    settings : Settings
        As chosen; the book goes into the folder.
    progress : callable
        Told of the steps.
    """
    make_folder(folder)
    for old in folder.glob(f"{BOOK_NAME}*"):
        old.unlink()
    here = replace(settings, book=str(folder / BOOK_NAME))
    load_demo(here, progress=progress)
    made = valley()
    with Workbench.open(here, now=moment(made, EVENING)) as bench:
        mornings = bench.judge(day=MORNING)
        bench.take(MORNING)
        word = bench.leave_word(
            MORNING,
            folder,
            WordAsked(
                who="Orla Penwarne",
                car="small green estate",
                contact="her sister, number by the telephone",
            ),
        )
        sheet = bench.write_sheet(MORNING, folder)
    return DemoReport(
        book=folder / BOOK_NAME,
        mornings=mornings,
        sheet=sheet,
        word=word,
        now_text=f"{EVENING:%Y-%m-%d %H:%M}",
    )


def demo_beside(settings: Settings, *, progress: Progress = silent) -> Path:
    """Make the demo's book beside the photographer's own, judged for its coming morning.

    Parameters
    ----------
    settings : Settings
        As chosen; they say where the own book lies, which is not touched.
    progress : callable
        Told of the steps.

    Returns
    -------
    Path
        The demo's book; one that is there already is taken as it is.
    """
    path = demo_book(settings)
    if path.exists():
        return path
    part = path.with_name(f"{BESIDE}.part.sqlite")
    _remove(part)
    making = replace(settings, book=str(part))
    try:
        load_demo(making, progress=progress)
        with Workbench.open(making, now=demo_now()) as bench:
            bench.judge(day=MORNING, mornings=1, progress=progress)
            bench.book_backup(path)  # whole under its name, or not there at all
    finally:
        _remove(part)
    return path


def demo_book(settings: Settings) -> Path:
    """Where the demo's book lies, or would lie, beside the photographer's own."""
    return settings.book_path.parent / f"{BESIDE}.sqlite"


def demo_now() -> np.datetime64:
    """Instant of the demo's evening."""
    return moment(valley(), EVENING)


def live_through(settings: Settings, made: Valley, evening: dict[str, Any]) -> None:
    """Enter one evening, judge its morning, and log what was found where there is a log."""
    day = (evening["at"] + dt.timedelta(hours=12)).date()
    with Workbench.open(settings, now=moment(made, evening["at"])) as bench:
        bench.enter_evening(typed(evening))
        if evening["at"] == EVENING:
            return  # the demo itself judges this one
        bench.judge(day=day, mornings=1)
        for log in made.logs:
            for row in log["found"]:
                if row[0] == day.isoformat():
                    bench.log_found(found_from(log["wood"], row, made.zone_name))


def typed(evening: dict[str, Any]) -> EveningTyped:
    """Turn an evening of the table into what is typed at the window."""
    clears = evening.get("clears_by")
    return EveningTyped(
        at=evening["at"],
        temperature_degc=evening["temperature_degc"],
        dew_point_degc=evening["dew_point_degc"],
        wind_mps=evening["wind_mph"] * MPH_TO_MPS,
        wind_trend=evening["wind_trend"],
        cloud_frac=evening["cloud_eighths"] / 8.0,
        clears_by=dt.time.fromisoformat(clears) if clears else None,
        ground_wet=evening["ground_wet"],
        pressure_trend=evening["pressure_trend"],
    )


def found_from(wood: str, row: list[str], zone_name: str) -> Found:
    """Turn a row of the table into a log."""
    day = dt.date.fromisoformat(row[0])
    lifted = None
    if row[2]:
        wall = dt.datetime.combine(day, dt.time.fromisoformat(row[2]))
        lifted = to_utc(wall, zone_name)
    return Found(
        day=day, wood=wood, mist=row[1], lifted_utc=lifted, air=row[3], light=row[4], leaf=row[5]
    )


def moment(made: Valley, wall: dt.datetime) -> np.datetime64:
    """Instant of a time on the valley's clock."""
    return to_utc(wall, made.zone_name)


def _fill(bench: Workbench, made: Valley, folder: Path) -> None:
    """Put kit, woods, rasters and spots into a new book."""
    for body in made.kit.bodies:
        bench.add_body(body)
    for lens in made.kit.lenses:
        bench.add_lens(lens)
    ground = write_valley_ground(folder / "wennick-ground.tif", made.origin)
    for wood in made.woods:
        bench.add_wood(wood)
        bench.attach_raster(wood.name, [ground])
    for spot in made.spots:
        bench.add_spot(spot)
    for typed_there in made.surveyed:
        for said in typed_there.elements:
            bench.add_element(typed_there.spot, said)
        bench.note_mark(
            typed_there.spot, transits=typed_there.transits, distances=typed_there.distances
        )


def _remove(book: Path) -> None:
    """Remove a book with what SQLite keeps beside it."""
    for file in book.parent.glob(f"{book.name}*"):
        file.unlink()
