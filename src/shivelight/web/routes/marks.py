"""The mark of a spot: its anchors noted, gone and dropped, and the mark found again."""

from collections.abc import Callable, Mapping
from dataclasses import replace

from fastapi import APIRouter, Request, Response

from shivelight.basis.errors import BadInputError, NotFoundError
from shivelight.outing.marks import MarkAnchors
from shivelight.web.boxes import boxes, opened, read_boxes
from shivelight.web.contexts.marks import MarkShown, marks_page, measured_from
from shivelight.web.errors import status_of
from shivelight.web.forms import REFUSALS, Form, Typed, go, writes, wrong_of
from shivelight.web.house import Undo
from shivelight.web.routes.spots_undo import put_back as put_spot_back
from shivelight.web.routes.undo import undo_by, unless_changed
from shivelight.web.show import house_of, link, show
from shivelight.workbench.bench import Workbench
from shivelight.workbench.fields.elements import MEASURED
from shivelight.workbench.mark_back import put_mark_back

router = APIRouter()


@router.get("/marks")
def marks(request: Request, spot: str) -> Response:
    """Show a mark, and where one stands where something was measured now."""
    asked = {key: value for key, value in request.query_params.items() if key != "spot"}
    with house_of(request).bench() as bench:
        shown = _shown(bench, spot, asked=asked)
        status = 200
        try:
            measured = measured_from(asked, shown.mark.anchors)
            if measured is not None:
                shown = replace(shown, found=bench.find_mark(shown.spot.name, measured))
        except REFUSALS as why:
            shown, status = replace(shown, wrong=str(why)), status_of(why)
    title = f"Mark of {shown.spot.name}"
    return show(request, "marks.html.j2", marks_page(shown), title=title, status=status)


@router.post("/marks/note", **writes(MEASURED, more=("spot",)))
def note(request: Request, typed: Typed) -> Response:
    """Note anchors while standing on the mark."""

    def work(bench: Workbench, spot: str) -> str:
        said = read_boxes(MEASURED, typed)
        if not said:
            raise BadInputError("Note two things in line, or a distance, or both.")
        bench.note_mark(spot, **said)
        count = sum(len(one) for one in said.values())
        return f"{count} {'anchor is' if count == 1 else 'anchors are'} noted for {spot}."

    return _done(request, typed, work, refilled=True)


@router.post("/marks/drop", **writes(more=("spot", "name")))
def drop(request: Request, typed: Typed) -> Response:
    """Take all that was noted of a thing off the mark."""

    def work(bench: Workbench, spot: str) -> str:
        bench.forget_anchor(spot, typed.get("name", ""))
        return f"{typed.get('name', '')} no longer anchors {spot}."

    return _done(request, typed, work)


@router.post("/marks/gone", **writes(more=("spot", "name")))
def gone(request: Request, typed: Typed) -> Response:
    """Say that a thing fell or was felled."""

    def work(bench: Workbench, spot: str) -> str:
        bench.lose_anchor(spot, typed.get("name", ""))
        return f"{typed.get('name', '')} is noted as gone; it is left out from now on."

    return _done(request, typed, work)


@router.post("/marks/stands", **writes(more=("spot", "name")))
def stands(request: Request, typed: Typed) -> Response:
    """Say that a thing stands after all."""

    def work(bench: Workbench, spot: str) -> str:
        bench.lose_anchor(spot, typed.get("name", ""), stands=True)
        return f"{typed.get('name', '')} stands after all."

    return _done(request, typed, work)


@router.post("/marks/confirmed", **writes(more=("spot",)))
def confirm(request: Request, typed: Typed) -> Response:
    """Say that the mark was found right today."""
    with house_of(request).bench() as bench:
        before = bench.spot(typed.get("spot", ""))
        after = bench.confirm_mark(before.name)
    words = f"{after.name} was stood at today, and its mark held."
    undo = put_spot_back(request, before, after)
    return go(request, link("/marks", spot=after.name), words, undo=undo)


def _done(
    request: Request,
    typed: Mapping[str, str],
    work: Callable[[Workbench, str], str],
    *,
    refilled: bool = False,
) -> Response:
    """Do one thing to a mark and say so with a way back; or show what was refused."""
    with house_of(request).bench() as bench:
        spot = bench.spot(typed.get("spot", "")).name
        before = bench.mark(spot).anchors
        try:
            words = work(bench, spot)
        except NotFoundError:
            raise
        except REFUSALS as why:
            if not refilled:
                raise
            shown = _shown(bench, spot, typed=typed, wrong=wrong_of(why))
            page, title = marks_page(shown), f"Mark of {spot}"
            return show(request, "marks.html.j2", page, title=title, status=status_of(why))
        after = bench.mark(spot).anchors
    undo = put_back(request, before, after) if before != after else None
    return go(request, link("/marks", spot=spot), words, undo=undo)


def put_back(request: Request, before: MarkAnchors, after: MarkAnchors) -> Undo:
    """Write the form that makes the anchors of a mark again what they were."""
    spot = before.spot
    back = unless_changed(
        lambda bench: bench.mark(spot).anchors,
        after,
        lambda bench: put_mark_back(bench, before),
        refusal=f"The mark of {spot} was changed again since; nothing was taken back.",
        words=f"The mark of {spot} is as it was.",
    )
    return undo_by(request, back, link("/marks", spot=spot))


def _shown(
    bench: Workbench,
    spot: str,
    *,
    asked: Mapping[str, str] | None = None,
    typed: Mapping[str, str] | None = None,
    wrong: Mapping[str, str] | None = None,
) -> MarkShown:
    known = bench.spot(spot)
    note = Form(
        action="/marks/note",
        button="Note these",
        boxes=boxes(MEASURED, typed=typed, wrong=wrong),
        hidden=(("spot", known.name),),
        wrong=opened((wrong or {}).get("", "")),
    )
    survey = bench.kept_survey(known.name).survey
    mark = bench.mark(known.name)
    return MarkShown(spot=known, survey=survey, mark=mark, note=note, asked=asked or {})
