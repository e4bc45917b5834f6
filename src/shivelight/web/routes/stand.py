"""Where to stand at a spot: looked for by a job where it takes long, kept and dropped again."""

from dataclasses import replace
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Request, Response
from fastapi.responses import HTMLResponse

from shivelight.basis.errors import NotFoundError, ShivelightError
from shivelight.basis.records import json_text
from shivelight.outing.surveys import KeptFraming, KeptStand
from shivelight.scene.framing import Framing, Reach
from shivelight.web.boxes import read_boxes
from shivelight.web.contexts.stand import key_of
from shivelight.web.contexts.stand_frame import FrameShown, frame_shown
from shivelight.web.contexts.stand_list import stands_page
from shivelight.web.contexts.stand_wishes import FIELDS
from shivelight.web.errors import status_of
from shivelight.web.forms import REFUSALS, Typed, go, writes, wrong_of
from shivelight.web.jobs import Progress
from shivelight.web.routes import stand_layers
from shivelight.web.routes.stand_page import Moved, Sent, page_of
from shivelight.web.routes.undo import undo_by, unless_changed
from shivelight.web.show import house_of, link, pages, show, wants_json
from shivelight.workbench import stand_view
from shivelight.workbench.bench import Workbench
from shivelight.workbench.fields.stand import wished
from shivelight.workbench.stand_found import StandFound

router = APIRouter()
router.include_router(stand_layers.router)
UNMOVED, UNSENT = Moved(), Sent()
Asked = Annotated[Moved, Depends()]
"""The place, lens and aim that an address asks for, each as typed."""
PATIENCE_S = 0.5
"""A search that is longer is a job of its own page."""
PATIENCE_JSON_S = 20.0


@router.get("/stand")
def stand(request: Request, moved: Asked, spot: str = "", number: int = 1) -> Response:
    """Show where to stand at a spot; without one, the spots that have a survey."""
    if not spot:
        with house_of(request).bench() as bench:
            listed = stands_page(bench)
        return show(request, "stands.html.j2", listed, title="Stand point")
    return _shown(request, spot, number=number, moved=moved)


@router.get("/stand/frame")
def frame(request: Request, moved: Asked, spot: str) -> Response:
    """Draw the frame from one place, as a piece of the page."""
    with house_of(request).bench() as bench:
        shown = frame_at(bench, spot, moved)
    if wants_json(request):
        return Response(json_text(shown), media_type="application/json")
    piece = pages().get_template("stand_frame.html.j2").render(shown=shown)
    return HTMLResponse(piece)


@router.post("/stand/wish", **writes(FIELDS, more=("spot",)))
def wish(request: Request, typed: Typed) -> Response:
    """Keep what is wished of the picture and how far to go for it."""
    spot = typed.get("spot", "")
    try:
        with house_of(request).bench() as bench:
            before = bench.framing_of(spot)
            framing, reach = wished(read_boxes(FIELDS, typed), _usual(before))
            bench.wish_framing(spot, framing, reach)
            after = bench.framing_of(spot)
    except REFUSALS as why:
        sent = Sent(typed=typed, wrong=wrong_of(why))
        return _shown(request, spot, sent=sent, status=status_of(why))

    back = unless_changed(
        lambda bench: bench.framing_of(spot),
        after,
        lambda bench: bench.wish_framing(spot, before.framing, before.reach),
        refusal=f"The wishes of {spot} were changed again since.",
        words="The wishes are as they were.",
    )
    undo = undo_by(request, back, link("/stand", spot=spot)) if before != after else None
    return go(request, link("/stand", spot=spot), "The wishes are kept.", undo=undo)


@router.post("/stand/keep", **writes(more=("spot", "number")))
def keep(request: Request, typed: Typed) -> Response:
    """Keep one of the stands that were found."""
    spot, number = typed.get("spot", ""), typed.get("number", "")
    if not number.isascii() or not number.isdigit() or len(number) > 3:
        raise NotFoundError(f"There is no stand of number {number[:20]!r}.")
    with house_of(request).bench() as bench:
        held = house_of(request).results.get(stand_view.fingerprint(bench, bench.spot(spot).name))
        found = held if isinstance(held, StandFound) else bench.find_stand(spot)
        kept = stand_view.take_stand(bench, found, int(number))

    def back(bench: Workbench) -> str:
        stand_view.drop_stand(bench, kept)
        return "That stand is not kept any more."

    there = link("/stand", spot=kept.spot)
    undo = undo_by(request, back, there)
    return go(request, there, f"Kept: {kept.words}", undo=undo)


@router.post("/stand/drop", **writes(more=("spot", "key")))
def drop(request: Request, typed: Typed) -> Response:
    """Take a kept stand out of the book."""
    with house_of(request).bench() as bench:
        spot = bench.spot(typed.get("spot", "")).name
        kept = _kept(bench, spot, typed.get("key", ""))
        stand_view.drop_stand(bench, kept)

    def back(again: Workbench) -> str:
        stand_view.keep_stand(again, kept)
        return f"Kept again: {kept.words}"

    there = link("/stand", spot=spot)
    undo = undo_by(request, back, there)
    return go(request, there, "That stand is not kept any more.", undo=undo)


def frame_at(bench: Workbench, spot: str, moved: Moved) -> FrameShown:
    """Draw the frame from a place that is sent along."""
    survey, framing, now = stand_view.surveyed_at(bench, spot)
    camera, aim = moved.camera(now), moved.aim()
    camera = stand_view.aimed(survey, framing, camera, aim)
    view = stand_view.frame_from(survey, camera, mist_range_m=moved.mist_m())
    return frame_shown(spot, view, aim, print_width_m=framing.print_width_m)


def _shown(
    request: Request,
    spot: str,
    *,
    number: int = 1,
    moved: Moved = UNMOVED,
    sent: Sent = UNSENT,
    status: int = 200,
) -> Response:
    """Show the page, or go to the job that looks for the answer first."""
    house = house_of(request)
    held = house.results
    with house.bench() as bench:
        name = bench.spot(spot).name
        many = len(bench.kept_survey(name).survey.trunks) > 1
        key = stand_view.fingerprint(bench, name)
    found = held.get(key)
    if found is None and many:
        state = house.jobs.start(
            f"looking for where to stand at {name}",
            lambda progress: _look(request, name, key, progress),
            then=link("/stand", spot=name, number=number, **moved.query()),
            key=f"stand-{key}",
        )
        house.jobs.wait(state.name, PATIENCE_JSON_S if wants_json(request) else PATIENCE_S)
        found = held.get(key)
        if found is None:
            return go(request, link("/job", name=state.name))
    with house.bench() as bench:
        page = page_of(bench, name, found, number=number, moved=moved, sent=sent)
    return show(request, "stand.html.j2", page, title=f"Stand point: {name}", status=status)


def _look(request: Request, spot: str, key: str, progress: Progress) -> str:
    """Look for where to stand, and hold what came of it."""
    progress("scoring every place in reach", 0, 1)
    try:
        with house_of(request).bench() as bench:
            found: Any = bench.find_stand(spot)
    except ShivelightError as why:
        house_of(request).results.keep(key, why)
        return str(why)
    house_of(request).results.keep(key, found)
    best = found.answer.answers
    return best[0].go if best else "No place here clears it."


def _usual(kept: KeptFraming) -> KeptFraming:
    """Give what is kept, with all that the form asks for as it is unless said."""
    usual, far = Framing(), Reach()
    framing = replace(
        kept.framing,
        parts=usual.parts,
        keeps=usual.keeps,
        whole=usual.whole,
        subject_place=usual.subject_place,
        room_above_frac=usual.room_above_frac,
        least_gap_deg=usual.least_gap_deg,
        print_width_m=usual.print_width_m,
        focal_lengths_mm=usual.focal_lengths_mm,
    )
    return replace(kept, framing=framing, reach=far)


def _kept(bench: Workbench, spot: str, key: str) -> KeptStand:
    for one in bench.stand(spot).stands:
        if key_of(one) == key:
            return one
    raise NotFoundError(f"That stand is not kept with {spot} any more.")
