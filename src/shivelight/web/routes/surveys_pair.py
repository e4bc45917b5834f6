"""Two pictures a step apart: chosen or sent, measured by a job, taken into the survey."""

import secrets
from collections.abc import Callable, Mapping

from fastapi import APIRouter, Request, Response
from fastapi.concurrency import run_in_threadpool

from shivelight.basis.errors import BadInputError, NotFoundError
from shivelight.web.bodies import PHOTO, hold_upload
from shivelight.web.boxes import RefusedError
from shivelight.web.contexts.surveys_marks import draft_from
from shivelight.web.contexts.surveys_pair import KEYS, PairPage, pair_form, pair_page
from shivelight.web.contexts.surveys_photo import measured_words
from shivelight.web.errors import status_of
from shivelight.web.forms import REFUSALS, Typed, go, uploads, writes, wrong_of
from shivelight.web.jobs import Progress
from shivelight.web.routes.spots_pictures import picture_number
from shivelight.web.routes.surveys_photo import given_from
from shivelight.web.routes.surveys_undo import put_back
from shivelight.web.show import house_of, link, show
from shivelight.workbench import picture_marks, read
from shivelight.workbench.bench import Workbench
from shivelight.workbench.survey_pairs import PairSurvey
from shivelight.workbench.typed_marks import read_marks

router = APIRouter()


@router.get("/survey/pair")
def pair(
    request: Request,
    spot: str,
    *,
    first: str = "",
    second: str = "",
    marks: str = "",
    result: str = "",
) -> Response:
    """Show the form of two pictures, and what two told."""
    typed = {"first": first, "second": second, "marks": marks}
    return _show(request, spot, typed, result=result)


@router.post("/survey/pair", **writes(more=("spot", *KEYS)))
def measure(request: Request, typed: Typed) -> Response:
    """Measure two kept pictures, as a job."""
    house = house_of(request)
    held = house.results
    try:
        with house.bench() as bench:
            spot = bench.spot(typed.get("spot", "")).name
            work = _work(bench, spot, typed)
    except NotFoundError:
        raise
    except REFUSALS as why:
        spot = typed.get("spot", "")
        return _show(request, spot, typed, wrong=wrong_of(why), status=status_of(why))
    key = f"pair-{secrets.token_urlsafe(9)}"
    back = {one: typed.get(one, "") for one in ("first", "second", "marks")}

    def run(progress: Progress) -> str:
        progress("finding the same points on both pictures", 0, 1)
        with house.bench() as bench:
            found = work(bench)
        held.keep(key, found)
        return measured_words(found).answer

    state = house.jobs.start(
        "measuring two pictures", run, then=link("/survey/pair", spot=spot, result=key, **back)
    )
    return go(request, link("/job", name=state.name))


@router.post("/survey/pair/take", **writes(more=("spot", "result")))
def take(request: Request, typed: Typed) -> Response:
    """Take what two pictures told into the survey."""
    found = house_of(request).results.get(typed.get("result", ""))
    if not isinstance(found, PairSurvey) or not found.trunks:
        raise NotFoundError("What these two told is no longer held; measure them again.")
    with house_of(request).bench() as bench:
        spot = bench.spot(typed.get("spot", "")).name
        before, after = picture_marks.take_trunks(
            bench, spot, found, how="on two pictures a step apart"
        )
    count = len(found.trunks)
    words = f"{count} trunk{' is' if count == 1 else 's are'} in the survey of {spot}."
    there = link("/survey", spot=spot)
    return go(request, there, words, undo=put_back(request, before, after))


@router.post("/survey/pair/picture", **uploads(more=("spot", "first")))
async def send(request: Request) -> Response:
    """Keep one more picture of the spot, and choose it."""
    upload = await hold_upload(request, PHOTO)
    return await run_in_threadpool(_send, request, upload.fields, upload.data)


def _send(request: Request, fields: Mapping[str, str], data: bytes) -> Response:
    with house_of(request).bench() as bench:
        spot = bench.spot(fields.get("spot", "")).name
        kept = bench.keep_picture(data, spot=spot)
    first = fields.get("first", "")
    chosen = {"first": first, "second": kept.id} if first else {"first": kept.id}
    words = f"Picture {kept.id} is kept with {kept.spot or spot}."
    return go(request, link("/survey/pair", spot=spot, **chosen), words)


def _work(
    bench: Workbench, spot: str, typed: Mapping[str, str]
) -> Callable[[Workbench], PairSurvey]:
    """Read the form and both files, and give what measures them."""
    numbers = [typed.get(key, "") for key in ("first", "second")]
    if not all(numbers):
        raise BadInputError("Choose two pictures of this spot, taken a step apart.")
    if numbers[0] == numbers[1]:
        raise BadInputError("Choose two different pictures, taken a step apart.")
    if not typed.get("step", "").strip():
        raise RefusedError({"step": "How far apart the two were taken is needed, such as 1.5 m."})
    step_m = read.number(typed["step"], what="step", unit="m")
    given = given_from(draft_from(typed), bench.kept_survey(spot).survey.slope)
    marks = read_marks(typed.get("marks", ""))
    a, b = (picture_marks.file_of(bench, picture_number(one))[1] for one in numbers)

    return lambda bench: picture_marks.photos_of(bench).pair_of_photos(
        a, b, step_m=step_m, marks=marks, given=(given, given)
    )


def _show(
    request: Request,
    spot: str,
    typed: Mapping[str, str],
    *,
    wrong: Mapping[str, str] | None = None,
    result: str = "",
    status: int = 200,
) -> Response:
    with house_of(request).bench() as bench:
        known = bench.spot(spot)
        pictures = bench.pictures_of(known.name)
    found = house_of(request).results.get(result) if result else None
    measured = measured_words(found) if isinstance(found, PairSurvey) else None
    form = pair_form(known.name, typed, wrong or {}, known.lens_height_m)
    numbers = [str(one.id) for one in pictures]
    first, second = (
        one if (one := typed.get(key, "")) in numbers else "" for key in ("first", "second")
    )
    page: PairPage = pair_page(
        known.name, pictures, form, chosen=(first, second), found=(result, measured)
    )
    title = f"Two pictures of {page.spot}"
    return show(request, "survey_pair.html.j2", page, title=title, status=status)
