"""Evening: which spot suits the coming mornings, why, how sure, and what else."""

import datetime as dt
from collections.abc import Mapping
from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response

from shivelight.basis.errors import BadInputError, NotFoundError
from shivelight.drawing.words import counted
from shivelight.outing.judgement import Morning
from shivelight.web.bodies import HeldUpload, UploadLimits, hold_upload
from shivelight.web.boxes import boxes, read_boxes
from shivelight.web.contexts.evening import EveningPage, evening_page
from shivelight.web.errors import status_of
from shivelight.web.forms import REFUSALS, Form, Typed, go, uploads, writes, wrong_of
from shivelight.web.house import House, Undo
from shivelight.web.jobs import Progress
from shivelight.web.show import house_of, link, show
from shivelight.workbench import read
from shivelight.workbench.bench import Workbench
from shivelight.workbench.fields.evening import EVENING
from shivelight.workbench.typed import EveningTyped
from shivelight.workbench.week import WeekMorning

router = APIRouter()
ASKED = frozenset({"temperature_degc"})
FILE = UploadLimits(most_bytes=20_000_000)
TITLE = "Evening"


async def _held(request: Request) -> HeldUpload:
    return await hold_upload(request, FILE)


@router.get("/evening")
def evening(request: Request, day: str = "") -> Response:
    """Show the choice for one of the coming mornings."""
    return show(request, "evening.html.j2", _page(request, day), title=TITLE)


@router.post("/evening/type", **writes(EVENING))
def type_evening(request: Request, typed: Typed) -> Response:
    """Keep what was read off and typed this evening, and judge by it."""
    house = house_of(request)
    try:
        said = read_boxes(EVENING, typed, asked=ASKED)
        with house.bench() as bench:
            said.setdefault("at", bench.wall_now())
            bench.enter_evening(EveningTyped(**said))
    except REFUSALS as why:
        page = _page(request, "", typed=typed, wrong=wrong_of(why))
        return show(request, "evening.html.j2", page, title=TITLE, status=status_of(why))
    return _judge(request, "What you typed is kept.")


@router.post("/evening/fetch", **writes())
def fetch(request: Request) -> Response:
    """Ask the service of the settings for every wood's forecast, and judge by it."""
    house = house_of(request)

    def work(progress: Progress) -> str:
        with house.bench() as bench:
            kept = bench.fetch_forecasts(progress=progress)
            notes = " ".join(dict.fromkeys(one.note for one in kept if one.note))
            if _can_judge(bench):
                bench.judge(progress=progress)
        return f"Forecasts came for {counted(len(kept), 'wood')}. {notes}".strip()

    state = house.jobs.start("fetching forecasts and judging", work, then="/evening", key="judge")
    return go(request, link("/job", name=state.name))


@router.post("/evening/file", **uploads())
def read_file(request: Request, sent: Annotated[HeldUpload, Depends(_held)]) -> Response:
    """Read a forecast's file, keep it and judge by it."""
    with house_of(request).bench() as bench:
        zone_name = bench.zone_of()
        kept = bench.keep_forecast(sent.data, zone_name=zone_name)
    return _judge(request, f"The forecast from {kept[0].source} is kept.")


@router.post("/evening/judge", **writes())
def judge(request: Request) -> Response:
    """Judge every spot for the coming mornings."""
    return _judge(request, "")


@router.post("/evening/take", **writes(more=("day", "spot")))
def take(request: Request, typed: Typed) -> Response:
    """Take a judged morning as an outing."""
    day = _day(typed.get("day", ""))
    with house_of(request).bench() as bench:
        before = bench.outing(day)
        made = bench.take(day, spot=typed.get("spot") or None)
    undo = Undo(path="/evening/stay", boxes={"day": day.isoformat()})
    if before is not None and before.visits:
        undo = Undo(path="/evening/take", boxes={"day": day.isoformat(), "spot": before.visits[0]})
    first = made.visits[0] if made.visits else made.woods[0]
    return go(request, link("/sheet", day=day), f"{first} is taken for {day:%A}.", undo=undo)


@router.post("/evening/stay", **writes(more=("day",)))
def stay(request: Request, typed: Typed) -> Response:
    """Take an outing back: stay in bed."""
    day = _day(typed.get("day", ""))
    with house_of(request).bench() as bench:
        before = bench.outing(day)
        if before is None:
            return go(request, link("/evening", day=day), "Nothing is taken. Stay in bed.")
        bench.stay(day)
    boxes_before = {"day": day.isoformat(), "spot": before.visits[0] if before.visits else ""}
    undo = Undo(path="/evening/take", boxes=boxes_before)
    return go(request, link("/evening", day=day), "The outing is taken back.", undo=undo)


def _judge(request: Request, before: str) -> Response:
    """Start judging as a job, and go to its page."""
    house = house_of(request)

    def work(progress: Progress) -> str:
        with house.bench() as bench:
            if not _can_judge(bench):
                return f"{before} There is no spot to judge yet.".strip()
            judged = bench.judge(progress=progress)
        return f"{before} {counted(len(judged), 'morning')} judged.".strip()

    state = house.jobs.start("judging the coming mornings", work, then="/evening", key="judge")
    return go(request, link("/job", name=state.name))


def _can_judge(bench: Workbench) -> bool:
    return any(spot.state.value != "lost" for spot in bench.spots())


def _page(
    request: Request,
    day: str,
    *,
    typed: Mapping[str, str] | None = None,
    wrong: Mapping[str, str] | None = None,
) -> EveningPage:
    house = house_of(request)
    with house.bench() as bench:
        week = bench.week(house.settings.mornings)
        chosen = _day(day) if day else week.mornings[0].day
        return evening_page(
            week,
            chosen,
            _morning(bench, week.mornings, chosen),
            outing=bench.outing(chosen),
            forms=(_typed_form(bench, typed, wrong or {}), _file_form()),
            service=_service(house),
            asks_contact=house.settings.asks_contact,
            has_spots=_can_judge(bench),
        )


def _morning(bench: Workbench, mornings: tuple[WeekMorning, ...], day: dt.date) -> Morning | None:
    """Take the morning from the week, or look an older one up."""
    for one in mornings:
        if one.day == day:
            return one.morning
    try:
        return bench.judged(day)
    except NotFoundError:
        return None


def _typed_form(
    bench: Workbench, typed: Mapping[str, str] | None, wrong: Mapping[str, str]
) -> Form:
    last = bench.evening_typed()
    values = {} if last is None else {field.key: getattr(last, field.key) for field in EVENING}
    made = boxes(EVENING, values, typed=typed, wrong=wrong, asked=ASKED)
    return Form(
        action="/evening/type", button="Judge by this", boxes=made, wrong=wrong.get("", "")
    )


def _file_form() -> Form:
    return Form(action="/evening/file", button="Read this file")


def _service(house: House) -> str:
    return "" if house.settings.service == "off" else house.settings.service


def _day(text: str) -> dt.date:
    if not text:
        raise BadInputError("Say which morning, such as 2027-11-03.")
    return read.date(text)
