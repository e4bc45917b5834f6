"""On arrival: three taps say what there is, and the spots are ranked again."""

import datetime as dt
from collections.abc import Mapping
from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response

from shivelight.basis.errors import NotFoundError, ShivelightError
from shivelight.outing.arrive import Answers
from shivelight.outing.judgement import Morning
from shivelight.web.contexts.arrive import (
    CAR,
    TAPS,
    ArrivePage,
    arrive_page,
    taps_form,
    unjudged_page,
    usual_time,
)
from shivelight.web.show import house_of, show
from shivelight.workbench import read
from shivelight.workbench.bench import Workbench

router = APIRouter()


def _asked(
    mist: str = "", air: str = "", light: str = "", ground: str = "", at: str = "", here: str = ""
) -> dict[str, str]:
    return {"mist": mist, "air": air, "light": light, "ground": ground, "at": at, "here": here}


@router.get("/arrive")
def arrive(
    request: Request, asked: Annotated[dict[str, str], Depends(_asked)], day: str = ""
) -> Response:
    """Three taps; with all of them, which spots suit what is found."""
    with house_of(request).bench() as bench:
        morning_day = read.day(day, bench.today()) if day else bench.next_morning()
        try:
            morning = bench.judged(morning_day)
        except NotFoundError:
            page = unjudged_page(morning_day, _why(bench, morning_day))
        else:
            page = _page(bench, morning, asked)
    return show(request, "arrive.html.j2", page, title="On arrival")


def _why(bench: Workbench, day: dt.date) -> str:
    if not bench.spots():
        return "There is no spot in the book yet."
    return f"Nothing has been judged for {day:%A} {day.day} {day:%B}."


def _page(bench: Workbench, morning: Morning, asked: Mapping[str, str]) -> ArrivePage:
    """Answer the taps as far as they are there; a refusal stands beside its box."""
    spots = tuple(dict.fromkeys(one.spot for one in morning.spots))
    usual = usual_time(morning, bench.wall_now())
    said = {**asked, "at": asked["at"] or f"{usual:%H:%M}", "here": asked["here"] or CAR}
    if not all(asked[key] for key in TAPS):
        return arrive_page(morning, taps_form(morning.day, said, {}, spots=spots))
    wrong: dict[str, str] = {}
    arrival, problem = None, ""
    try:
        answers = Answers(**{key: asked[key] for key in (*TAPS, "ground")})
        here = None if said["here"] == CAR else said["here"]
        try:
            at = read.clock(said["at"])
        except ShivelightError as why:
            wrong["at"] = str(why)
        else:
            arrival = bench.arrive(morning.day, answers, at=at, here=here)
    except ShivelightError as why:
        problem = str(why)
    form = taps_form(morning.day, said, wrong, spots=spots)
    return arrive_page(morning, form, arrival=arrival, problem=problem)
