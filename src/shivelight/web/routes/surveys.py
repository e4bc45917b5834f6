"""The survey of a spot: elements put in, changed, dropped; tables; the ground; photographs."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from fastapi import APIRouter, Request, Response
from fastapi.concurrency import run_in_threadpool

from shivelight.basis.errors import BadInputError, NotFoundError, UnreadableFileError
from shivelight.outing.surveys import KeptSurvey, element_of
from shivelight.web.bodies import UploadLimits, hold_upload
from shivelight.web.boxes import Box, boxes, opened, read_boxes
from shivelight.web.contexts.surveys import (
    ASKED,
    KINDS,
    NAME,
    RINGED,
    SLOPE,
    SurveyPage,
    survey_page,
    with_hint,
)
from shivelight.web.contexts.surveys_rows import kind_of
from shivelight.web.counted import MB
from shivelight.web.errors import status_of
from shivelight.web.forms import REFUSALS, Form, Typed, go, uploads, writes, wrong_of
from shivelight.web.routes import surveys_pair, surveys_photo
from shivelight.web.routes.surveys_undo import put_back
from shivelight.web.show import house_of, link, show
from shivelight.workbench.bench import Workbench
from shivelight.workbench.fields.elements import ELEMENT, as_words
from shivelight.workbench.fields.field import Field
from shivelight.workbench.survey_words import typed_again

router = APIRouter()
for _room in (surveys_photo, surveys_pair):
    router.include_router(_room.router)
TABLES = UploadLimits(most_bytes=2 * MB)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sent:
    """The form that was refused: which, what was typed, and why."""

    form: str = ""
    typed: Mapping[str, str] = field(default_factory=dict)
    wrong: Mapping[str, str] = field(default_factory=dict)


@router.get("/survey")
def survey(request: Request, spot: str, change: str = "") -> Response:
    """Show what was surveyed at a spot, and change one element of it."""
    return _show(request, spot, change=change)


@router.post("/survey/add", **writes((NAME,), ELEMENT, more=("spot", "kind")))
def add(request: Request, typed: Typed) -> Response:
    """Put an element into a survey."""
    kind = typed.get("kind", "trunk")
    if kind not in KINDS:
        raise BadInputError(f"{kind[:40]!r} is not one of: {', '.join(KINDS)}.")

    def work(bench: Workbench, spot: str) -> str:
        said = read_boxes(KINDS[kind][1], typed, asked=ASKED[kind])
        bench.add_element(spot, {"kind": kind, **as_words(said)})
        return f"{said['name']} is in the survey."

    return _done(request, typed, kind, work)


@router.post("/survey/change", **writes((NAME,), ELEMENT, more=("spot", "was")))
def change(request: Request, typed: Typed) -> Response:
    """Change an element; what stands in its boxes as it was is left alone."""

    def work(bench: Workbench, spot: str) -> str:
        was = typed.get("was", "")
        kept = bench.kept_survey(spot)
        kind = kind_of(element_of(kept.survey, was))
        filled = typed_again(kept, was)
        said = as_words(read_boxes(KINDS[kind][1], typed, asked=frozenset({"name"})))
        old = as_words(read_boxes(KINDS[kind][1], filled))
        new = {key: words for key, words in said.items() if words != old.get(key)}
        if not new:
            return f"{was} is as it was; nothing was changed."
        bench.change_element(spot, was, new)
        return f"{said['name']} is changed."

    return _done(request, typed, "change", work)


@router.post("/survey/drop", **writes((NAME,), more=("spot",)))
def drop(request: Request, typed: Typed) -> Response:
    """Take an element out of a survey."""

    def work(bench: Workbench, spot: str) -> str:
        bench.drop_element(spot, typed.get("name", ""))
        return f"{typed.get('name', '')} is out of the survey."

    return _done(request, typed, "", work)


@router.post("/survey/slope", **writes(SLOPE, more=("spot",)))
def slope(request: Request, typed: Typed) -> Response:
    """Say how the ground rises."""

    def work(bench: Workbench, spot: str) -> str:
        said = read_boxes(SLOPE, typed)
        if not said:
            raise BadInputError("Say how the ground rises to the right, or forward, or both.")
        bench.slope_ground(spot, **said)
        return "The slope of the ground is kept."

    return _done(request, typed, "slope", work)


@router.get("/survey/table")
def table(request: Request, spot: str) -> Response:
    """Give the elements of a survey as a table that can be taken in again."""
    with house_of(request).bench() as bench:
        text = bench.export_elements(spot)
    headers = {"Content-Disposition": 'attachment; filename="elements.csv"'}
    return Response(text, media_type="text/csv; charset=utf-8", headers=headers)


@router.post("/survey/table", **writes(more=("spot", "text", "instead")))
def take_table(request: Request, typed: Typed) -> Response:
    """Take the elements of a pasted table in."""

    def work(bench: Workbench, spot: str) -> str:
        if not typed.get("text", "").strip():
            raise BadInputError("The table is empty; its first line names the columns.")
        done = bench.import_elements(spot, typed["text"], instead=typed.get("instead") == "yes")
        return " ".join(done.notes)

    return _done(request, typed, "table", work)


@router.post("/survey/table/file", **uploads(more=("spot",)))
async def take_file(request: Request) -> Response:
    """Take the elements of a table in a file in."""
    upload = await hold_upload(request, TABLES)
    spot = upload.fields.get("spot", "")
    return await run_in_threadpool(_take_file, request, spot, upload.data)


def _take_file(request: Request, spot: str, data: bytes) -> Response:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as why:
        raise UnreadableFileError("The file is no text in UTF-8; save the table as CSV.") from why
    typed = {"spot": spot, "text": text}

    def work(bench: Workbench, name: str) -> str:
        return " ".join(bench.import_elements(name, text).notes)

    return _done(request, typed, "table", work)


def _done(
    request: Request,
    typed: Mapping[str, str],
    form: str,
    work: Callable[[Workbench, str], str],
) -> Response:
    """Do one thing to a survey and say so with a way back; or show what was refused."""
    try:
        with house_of(request).bench() as bench:
            spot = bench.spot(typed.get("spot", "")).name
            before = bench.kept_survey(spot)
            words = work(bench, spot)
            after = bench.kept_survey(spot)
    except NotFoundError:
        raise
    except REFUSALS as why:
        if not form:
            raise
        sent = _Sent(form=form, typed=typed, wrong=wrong_of(why))
        change = typed.get("was", "") if form == "change" else ""
        return _show(
            request, typed.get("spot", ""), change=change, sent=sent, status=status_of(why)
        )
    return go(request, link("/survey", spot=spot), words, undo=put_back(request, before, after))


def _show(
    request: Request, spot: str, *, change: str = "", sent: _Sent = _Sent(), status: int = 200
) -> Response:
    with house_of(request).bench() as bench:
        page = _page(bench, spot, change, sent)
    return show(request, "survey.html.j2", page, title=f"Survey of {page.spot}", status=status)


def _page(bench: Workbench, spot: str, change: str, sent: _Sent) -> SurveyPage:
    kept = bench.kept_survey(bench.spot(spot).name)
    forms = {kind: _form(kept, kind, sent) for kind in KINDS}
    forms["ring"] = with_hint(forms["ring"], "name", RINGED)
    forms["slope"] = _other(kept, "slope", _boxes(SLOPE, sent, "slope"), sent)
    forms["table"] = _other(kept, "table", (_table_box(sent),), sent)
    if change:
        forms["change"] = _change(kept, change, sent)
    return survey_page(kept, bench.pictures_of(kept.spot), forms, change)


def _form(kept: KeptSurvey, kind: str, sent: _Sent) -> Form:
    words, fields = KINDS[kind]
    values = {"role": "subject"} if kind == "trunk" and kept.survey.subject is None else {}
    filled = _boxes(fields, sent, kind, values=values, asked=ASKED[kind])
    return Form(
        action="/survey/add",
        button=f"Put {words} in",
        boxes=filled,
        hidden=(("spot", kept.spot), ("kind", kind)),
        wrong=_whole(sent, kind),
    )


def _change(kept: KeptSurvey, name: str, sent: _Sent) -> Form:
    one = element_of(kept.survey, name)
    fields = KINDS[kind_of(one)][1]
    typed = sent.typed if sent.form == "change" else typed_again(kept, name)
    wrong = sent.wrong if sent.form == "change" else None
    return Form(
        action="/survey/change",
        button=f"Change {one.name}",
        boxes=boxes(fields, typed=typed, wrong=wrong, asked=frozenset({"name"})),
        hidden=(("spot", kept.spot), ("was", one.name)),
        wrong=_whole(sent, "change"),
    )


def _other(kept: KeptSurvey, form: str, filled: tuple[Box, ...], sent: _Sent) -> Form:
    words = {"slope": "Keep this slope", "table": "Take these in"}
    hidden = (("spot", kept.spot),)
    return Form(
        action=f"/survey/{form}",
        button=words[form],
        boxes=filled,
        hidden=hidden,
        wrong=_whole(sent, form),
    )


def _table_box(sent: _Sent) -> Box:
    return Box(
        key="text",
        label="A table, pasted",
        many=True,
        text=sent.typed.get("text", "") if sent.form == "table" else "",
        hint="A line of headings first: name, angle, distance, width, role; then a line each.",
    )


def _boxes(
    fields: tuple[Field, ...],
    sent: _Sent,
    form: str,
    *,
    values: Mapping[str, str] | None = None,
    asked: frozenset[str] = frozenset(),
) -> tuple[Box, ...]:
    """Fill the boxes of a form, as it was sent where it was this one."""
    if sent.form != form:
        return boxes(fields, values, asked=asked)
    return boxes(fields, typed=sent.typed, wrong=sent.wrong, asked=asked)


def _whole(sent: _Sent, form: str) -> str:
    return opened(sent.wrong.get("", "")) if sent.form == form else ""
