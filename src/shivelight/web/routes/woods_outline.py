"""A wood's outline and parking place, drawn on its ground, pasted, or out of a file."""

from collections.abc import Mapping
from dataclasses import replace

from fastapi import APIRouter, Request, Response
from fastapi.concurrency import run_in_threadpool

from shivelight.basis.errors import BadInputError, NotFoundError, ShivelightError
from shivelight.basis.places import Position
from shivelight.outing.woods import Wood
from shivelight.web.bodies import UploadLimits, hold_upload
from shivelight.web.contexts.woods_fields import wood_values
from shivelight.web.contexts.woods_ground import PAGE_PX, PHONE_PX, ground_figure
from shivelight.web.contexts.woods_outline import (
    WAYS,
    Draft,
    OutlinePage,
    moved,
    outline_page,
    taken_back,
    tap_of,
    tapped,
)
from shivelight.web.counted import MB
from shivelight.web.forms import Typed, go, uploads, writes
from shivelight.web.routes.woods_undo import put_back
from shivelight.web.show import house_of, link, show
from shivelight.workbench import read
from shivelight.workbench.bench import Workbench
from shivelight.workbench.fields.field import by_key
from shivelight.workbench.fields.woods import WOOD

OUTLINES = UploadLimits(most_bytes=10 * MB)
SENT = ("name", "outline", "parking", "sets", "do", "latitude", "longitude", "radius_m")
router = APIRouter()


@router.get("/wood/outline")
def outline(request: Request, name: str) -> Response:
    """Show the outline on the ground of the wood."""
    with house_of(request).bench() as bench:
        page = _page(bench, bench.wood(name).wood.name, _kept(bench.wood(name).wood), None)
    return _show(request, page)


@router.post("/wood/outline", **writes(more=SENT))
def draw(request: Request, typed: Typed) -> Response:
    """Draw one step further, or keep what is drawn."""
    do = typed.get("do", "")
    with house_of(request).bench() as bench:
        wood = bench.wood(typed.get("name", "")).wood
        if do == "keep":
            return _keep(request, bench, wood, typed)
        page = _next(bench, wood, typed, do)
    return _show(request, page)


@router.post("/wood/outline/file", **uploads(more=("name", "which")))
async def from_file(request: Request) -> Response:
    """Take the outline out of a file."""
    upload = await hold_upload(request, OUTLINES)
    name, which = upload.fields.get("name", ""), upload.fields.get("which", "").strip()
    return await run_in_threadpool(_take, request, name, upload.data, which or None)


def _take(request: Request, name: str, data: bytes, which: str | None) -> Response:
    with house_of(request).bench() as bench:
        before = bench.wood(name).wood
        drawn = bench.draw_outline(name, data, name=which)
    undo = put_back(request, before, drawn.page.wood)
    words = " ".join([f"The outline has {drawn.corners} corners.", *drawn.notes])
    return go(request, link("/wood/outline", name=before.name), words, undo=undo)


def _keep(request: Request, bench: Workbench, wood: Wood, typed: Mapping[str, str]) -> Response:
    """Keep outline and parking, or show beside which box they were refused."""
    draft = _draft(typed)
    try:
        parking = _parking(wood, draft.parking)
    except ShivelightError as why:
        refused = replace(draft, wrong_parking=str(why))
        return _show(request, _page(bench, wood.name, refused, _square(typed)), status=422)
    notes: tuple[str, ...] = ()
    try:
        if _same(draft.outline) and _same(draft.outline) != _same(_kept(wood).outline):
            notes = bench.draw_outline(wood.name, draft.outline).notes
        elif not _same(draft.outline):
            bench.change_wood(wood.name, outline=())
    except NotFoundError:
        raise
    except ShivelightError as why:
        refused = replace(draft, wrong=str(why))
        return _show(request, _page(bench, wood.name, refused, _square(typed)), status=422)
    after = bench.change_wood(wood.name, parking=parking).wood
    words = " ".join([f"Outline and parking of {wood.name} are kept.", *notes])
    undo = put_back(request, wood, after) if after != wood else None
    return go(request, link("/wood", name=wood.name), words, undo=undo)


def _next(bench: Workbench, wood: Wood, typed: Mapping[str, str], do: str) -> OutlinePage:
    """Do one step of drawing."""
    draft, square = _draft(typed), _square(typed)
    tap = tap_of(typed)
    if tap is not None and square is not None:
        view = bench.ground_of(wood.name, centre=square[0], radius_m=square[1], side_px=PAGE_PX)
        draft = tapped(draft, view.position_at(tap[0] * PAGE_PX, tap[1] * PAGE_PX))
    elif do == "read" and _is_file(draft.outline):
        draft = _read_file(bench, draft)
    elif do == "back":
        draft = taken_back(draft)
    elif do == "clear":
        draft = Draft(
            outline="",
            parking=draft.parking,
            sets=draft.sets,
            reading="All corners are taken off.",
        )
    elif square is not None and do in {*WAYS, "closer", "wider"}:
        square = moved(square[0], square[1], do)
    elif do == "whole":
        square = None
    return _page(bench, wood.name, draft, square)


def _is_file(text: str) -> bool:
    """Whether what was pasted is a file's text, not corners one a line."""
    return text.lstrip()[:1] in {"<", "{", "["}


def _read_file(bench: Workbench, draft: Draft) -> Draft:
    """Write the corners of a pasted file one a line: they are drawn before they are kept."""
    try:
        corners = bench.outline_from(draft.outline)
    except ShivelightError as why:
        return replace(draft, wrong=str(why))
    outline = by_key(WOOD)["outline"].on_page(corners)
    words = f"{len(corners)} corners are read from what was pasted."
    return replace(draft, outline=outline, reading=words)


def _page(
    bench: Workbench, wood: str, draft: Draft, square: tuple[Position, float] | None
) -> OutlinePage:
    centre, radius_m = square or (None, None)
    view = bench.ground_of(wood, centre=centre, radius_m=radius_m, side_px=PAGE_PX)
    phone = bench.ground_of(wood, centre=centre, radius_m=radius_m, side_px=PHONE_PX)
    ground = ground_figure(view, phone, bench.relief_overlay, kinds=("spot",))
    return outline_page(view, ground, draft)


def _show(request: Request, page: OutlinePage, *, status: int = 200) -> Response:
    title = f"Outline of {page.name}"
    return show(request, "wood_outline.html.j2", page, title=title, status=status)


def _kept(wood: Wood) -> Draft:
    """Write what the book has."""
    fields, values = by_key(WOOD), wood_values(wood)
    return Draft(
        outline=fields["outline"].on_page(values["outline"]),
        parking=fields["parking"].on_page(values["parking"]),
    )


def _draft(typed: Mapping[str, str]) -> Draft:
    sets = "parking" if typed.get("sets") == "parking" else "corner"
    return Draft(
        outline=typed.get("outline", ""), parking=typed.get("parking", "").strip(), sets=sets
    )


def _square(typed: Mapping[str, str]) -> tuple[Position, float] | None:
    """Centre and radius of the picture that was shown; None where the form has none."""
    said = [typed.get(key, "") for key in ("latitude", "longitude", "radius_m")]
    if not all(said):
        return None
    try:
        latitude, longitude, radius_m = (float(one) for one in said)
    except ValueError as why:
        raise BadInputError("The middle of the picture or its radius is no number.") from why
    return Position(latitude_deg=latitude, longitude_deg=longitude), radius_m


def _parking(wood: Wood, text: str) -> Position:
    """Where the car stands, to the last digit where the box was left alone."""
    if _same(text) == _same(_kept(wood).parking):
        return wood.parking
    if not text:
        raise BadInputError("Where the car stands is needed, such as 53.0012, -5.1003.")
    return read.place(text)


def _same(text: str) -> tuple[str, ...]:
    return tuple(line.strip() for line in text.splitlines() if line.strip())
