"""A wood typed in: a new one, one that is changed, and its parking out of a file."""

from collections.abc import Mapping
from pathlib import Path

from fastapi import APIRouter, Request, Response
from fastapi.concurrency import run_in_threadpool

from shivelight.basis.errors import (
    BadInputError,
    MissingDataError,
    NotFoundError,
    ShivelightError,
    UnreadableFileError,
)
from shivelight.basis.places import Position
from shivelight.outing.woods import Wood
from shivelight.web.bodies import UploadLimits, hold_upload
from shivelight.web.boxes import read_boxes
from shivelight.web.contexts.woods_edit import change_wood, new_wood, points_page
from shivelight.web.contexts.woods_fields import ASKED, NAME, wood_from
from shivelight.web.counted import MB
from shivelight.web.forms import REFUSALS, Typed, go, uploads, writes, wrong_of
from shivelight.web.routes.undo import Back, undo_by
from shivelight.web.routes.woods_undo import put_back
from shivelight.web.show import house_of, link, show
from shivelight.workbench import read
from shivelight.workbench.bench import Workbench
from shivelight.workbench.fields.woods import WOOD
from shivelight.workbench.places import NamedPlace, read_places_text

POINTS = UploadLimits(most_bytes=10 * MB)
LOOK_M = 50.0
"""Half side of the square in which a height is looked up. [m]"""
LOOK_PX = 64
router = APIRouter()


@router.get("/wood/new")
def new(request: Request, parking: str = "") -> Response:
    """Offer a form for a new wood."""
    page = new_wood(zone_name=_zone(request), parking=_fair_place(parking))
    return show(request, "wood_edit.html.j2", page, title="A new wood")


@router.post("/wood/new", **writes(NAME, WOOD))
def add(request: Request, typed: Typed) -> Response:
    """Put a new wood into the book; a height that a raster knows is offered first."""
    filled, offer = _with_height(request, typed)
    try:
        if offer:
            page = new_wood(zone_name="", typed=filled, offer=offer)
            return show(request, "wood_edit.html.j2", page, title="A new wood")
        said = read_boxes(NAME + WOOD, typed, asked=ASKED, emptied=True)
        made = wood_from(said, None, typed)
        with house_of(request).bench() as bench:
            wood = bench.add_wood(made).wood
    except REFUSALS as why:
        page = new_wood(zone_name="", typed=typed, wrong=_beside(why))
        return show(request, "wood_edit.html.j2", page, title="A new wood", status=422)
    undo = undo_by(request, _taken_out(wood), "/woods")
    there = link("/wood", name=wood.name)
    return go(request, there, f"{wood.name} is in the book.", undo=undo)


@router.get("/wood/edit")
def edit(request: Request, name: str, parking: str = "") -> Response:
    """Offer a form with a wood as it stands."""
    with house_of(request).bench() as bench:
        wood = bench.wood(name).wood
        height = _height_words(bench, wood.parking)
    page = change_wood(wood, parking=_fair_place(parking), height=height)
    return show(request, "wood_edit.html.j2", page, title=f"Change {wood.name}")


@router.post("/wood/edit", **writes(NAME, WOOD))
def change(request: Request, typed: Typed) -> Response:
    """Change a wood."""
    name = typed.get("name", "")
    with house_of(request).bench() as bench:
        before = bench.wood(name).wood
    try:
        said = read_boxes(WOOD, typed, asked=ASKED, emptied=True) | {"name": before.name}
        made = wood_from(said, before, typed)
        with house_of(request).bench() as bench:
            changes = {key: getattr(made, key.partition(".")[0]) for key in _keys()}
            after = bench.change_wood(before.name, **changes).wood
    except REFUSALS as why:
        page = change_wood(before, typed=typed, wrong=_beside(why))
        title = f"Change {before.name}"
        return show(request, "wood_edit.html.j2", page, title=title, status=422)
    there = link("/wood", name=before.name)
    undo = put_back(request, before, after) if after != before else None
    return go(request, there, f"{before.name} is kept as you changed it.", undo=undo)


@router.post("/wood/points", **uploads(more=("name",)))
async def points(request: Request) -> Response:
    """Read the points of a file, to choose where the car stands."""
    upload = await hold_upload(request, POINTS)
    name = upload.fields.get("name", "")
    places = await run_in_threadpool(_places, upload.data)
    page = points_page(name, upload.given_name or "The file", places)
    if len(page.points) == 1:
        return go(request, page.points[0].use, f"Taken from {upload.given_name or 'the file'}.")
    return await run_in_threadpool(show, request, "wood_points.html.j2", page, title="Points")


def _places(data: bytes) -> tuple[NamedPlace, ...]:
    try:
        return read_places_text(data.decode("utf-8-sig"))
    except UnicodeDecodeError as why:
        raise UnreadableFileError(
            "The file cannot be read as text; choose a GPX or GeoJSON file."
        ) from why


def _keys() -> set[str]:
    return {field.key.partition(".")[0] for field in WOOD}


def _zone(request: Request) -> str:
    """Clock that a new wood is offered: that of the woods there are, else the machine's."""
    house = house_of(request)
    with house.bench() as bench:
        return bench.zone_of() if bench.first_parking() else house.zone_name or ""


def _fair_place(text: str) -> str:
    """Take a place out of an address only where it is one."""
    if text:
        read.place(text)
    return text


def _with_height(request: Request, typed: Mapping[str, str]) -> tuple[Mapping[str, str], str]:
    """Fill the height from a raster of the book where none was typed, and say from which."""
    if typed.get("ground_height_m", "").strip() or not typed.get("parking", "").strip():
        return typed, ""
    try:
        place = read.place(typed["parking"])
    except ShivelightError:
        return typed, ""
    with house_of(request).bench() as bench:
        found = _height(bench, place)
    if found is None:
        return typed, ""
    height_m, source = found
    offer = (
        f"{height_m:.0f} m at the parking place, from {source}. Take it, or type that of the part "
        "of the wood that matters, and send the form again."
    )
    return {**typed, "ground_height_m": f"{height_m:.0f}"}, offer


def _height_words(bench: Workbench, place: Position) -> str:
    found = _height(bench, place)
    return "" if found is None else f"{found[1]} has {found[0]:.0f} m at the parking place."


def _height(bench: Workbench, place: Position) -> tuple[float, str] | None:
    """Ground height of a place, if a raster of any wood in the book has it."""
    tried: set[tuple[str, ...]] = set()
    for page in bench.woods():
        files = tuple(note.path for note in page.rasters if note.kind == "ground")
        if not files or files in tried:
            continue
        tried.add(files)
        try:
            view = bench.relief_of(page.wood.name, centre=place, radius_m=LOOK_M, side_px=LOOK_PX)
        except (MissingDataError, UnreadableFileError):
            continue
        height_m = view.position_at(LOOK_PX / 2.0, LOOK_PX / 2.0).ground_height_m
        if height_m is not None:
            return height_m, ", ".join(Path(file).name for file in files)
    return None


def _beside(why: Exception) -> Mapping[str, str]:
    """Put a refusal beside the box that it is about."""
    if isinstance(why, NotFoundError) and "stand type" in str(why):
        return {"stand": str(why)}
    if isinstance(why, BadInputError) and "already has a wood" in str(why):
        return {"name": str(why)}
    return wrong_of(why)


def _taken_out(wood: Wood) -> Back:
    def back(bench: Workbench) -> str:
        bench.remove_wood(wood.name)
        return f"{wood.name} is out of the book again."

    return back
