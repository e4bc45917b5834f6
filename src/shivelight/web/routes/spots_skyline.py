"""A spot's skyline: typed in rows, from a file of heights, or worked out from the raster."""

from collections.abc import Mapping
from zlib import crc32

from fastapi import APIRouter, Request, Response
from fastapi.concurrency import run_in_threadpool

from shivelight.basis.errors import BadInputError, ShivelightError, UnreadableFileError
from shivelight.outing.spots import Spot
from shivelight.web.bodies import UploadLimits, hold_upload
from shivelight.web.contexts.spots_skyline import (
    NORTHS,
    SkylineFound,
    SkylinePage,
    rows_of,
    skyline_page,
)
from shivelight.web.errors import status_of
from shivelight.web.forms import Typed, go, uploads, writes
from shivelight.web.house import House
from shivelight.web.jobs import Progress
from shivelight.web.routes.spots_undo import put_back
from shivelight.web.show import house_of, link, show
from shivelight.workbench import read
from shivelight.workbench.bench import Workbench

router = APIRouter()
HEIGHTS = UploadLimits(most_bytes=200_000)
ROWS = ("name", "bearing", "height", "was", "more", "north", "drop")


@router.get("/spot/skyline")
def skyline(request: Request, name: str) -> Response:
    """Show the skyline to be typed, drawn as it is."""
    page = _page(house_of(request), name)
    return show(request, "spot_skyline.html.j2", page, title=f"Skyline of {page.name}")


@router.post("/spot/skyline", **writes(more=ROWS))
def keep(request: Request, typed: Typed) -> Response:
    """Put the rows in place of what was typed before."""
    house, name = house_of(request), typed.get("name", "")
    try:
        read.choice(typed.get("north") or "true", NORTHS, what="north")
        with house.bench() as bench:
            before = bench.spot(name)
            bench.set_skyline_rows(before.name, rows_of(typed))
            after = bench.spot(before.name)
    except ShivelightError as why:
        page = _page(house, name, typed=typed, wrong=str(why))
        title = f"Skyline of {page.name}"
        return show(request, "spot_skyline.html.j2", page, title=title, status=status_of(why))
    return _kept(request, before, after)


@router.post("/spot/skyline/file", **uploads(more=("name", "north")))
async def from_file(request: Request) -> Response:
    """Put the heights of a file in place of what was typed before."""
    upload = await hold_upload(request, HEIGHTS)
    lines = _lines(upload.data)
    fields = upload.fields
    before, after = await run_in_threadpool(_keep_lines, house_of(request), lines, fields)
    return await run_in_threadpool(_kept, request, before, after)


@router.post("/spot/skyline/ground", **writes(more=("name",)))
def from_ground(request: Request, typed: Typed) -> Response:
    """Work the skyline out from the wood's raster, beside the requests."""
    house = house_of(request)
    with house.bench() as bench:
        spot = bench.spot(typed.get("name", ""))
    there = link("/spot/skyline", name=spot.name)

    def work(progress: Progress) -> str:
        with house.bench() as bench:
            made = bench.skyline_from_ground(spot.name, progress=progress)
            return f"Highest {made.highest_deg:.1f}° toward {made.highest_toward_deg:.0f}° true."

    what = f"working the skyline of {spot.name} out"
    key = f"skyline{crc32(spot.name.encode()):x}"
    state = house.jobs.start(what, work, then=there, key=key)
    return go(request, link("/job", name=state.name))


def _lines(data: bytes) -> list[str]:
    try:
        return data.decode("utf-8-sig").splitlines()
    except UnicodeDecodeError as why:
        raise UnreadableFileError(
            "The file cannot be read as text; choose one with a bearing and a height a line."
        ) from why


def _keep_lines(house: House, lines: list[str], fields: Mapping[str, str]) -> tuple[Spot, Spot]:
    north = read.choice(fields.get("north") or "true", NORTHS, what="north")
    with house.bench() as bench:
        before = bench.spot(fields.get("name", ""))
        if not any(line.strip() for line in lines):
            raise BadInputError("The file is empty; write a bearing and a height a line: 95: 12.")
        bench.set_skyline_by_hand(before.name, lines, magnetic=north == "magnetic")
        return before, bench.spot(before.name)


def _kept(request: Request, before: Spot, after: Spot) -> Response:
    there = link("/spot/skyline", name=after.name)
    count = len(after.sights)
    words = (
        f"{count} heights are kept for {after.name}." if count else "No typed heights are left."
    )
    return go(request, there, words, undo=put_back(request, before, after))


def _page(
    house: House, name: str, *, typed: Mapping[str, str] | None = None, wrong: str = ""
) -> SkylinePage:
    with house.bench() as bench:
        return skyline_page(_found(bench, name), typed=typed, wrong=wrong)


def _found(bench: Workbench, name: str) -> SkylineFound:
    spot = bench.spot(name)
    page = bench.wood(spot.wood)
    return SkylineFound(
        spot=spot,
        zone_name=page.wood.zone_name,
        report=bench.skyline(spot.name),
        worked=bench.worked_skyline(spot.name),
        sketch=bench.sketch(spot.name, bench.next_morning()),
        finger_deg=bench.settings.finger_deg,
        has_ground=any(one.kind == "ground" for one in page.rasters),
    )
