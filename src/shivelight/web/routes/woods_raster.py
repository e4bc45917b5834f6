"""Rasters of a wood: one sent and laid under it, one taken off."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from fastapi import APIRouter, Request, Response
from fastapi.concurrency import run_in_threadpool

from shivelight.basis.errors import ShivelightError
from shivelight.outing.kept import RasterNote
from shivelight.web.bodies import SavedUpload, UploadLimits, save_upload
from shivelight.web.boxes import read_boxes
from shivelight.web.contexts.woods_fields import RASTER
from shivelight.web.contexts.woods_raster import raster_page
from shivelight.web.counted import MB
from shivelight.web.forms import Typed, go, uploads, writes
from shivelight.web.jobs import Progress
from shivelight.web.routes.undo import Back, undo_by
from shivelight.web.routes.woods_page import raster_shown
from shivelight.web.show import house_of, link, show
from shivelight.workbench.bench import Workbench

router = APIRouter()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Coming:
    """A raster that was sent, and what was said of it."""

    wood: str
    file: Path
    kind: str
    height_unit: str | None
    crs: str | None


@router.get("/wood/raster")
def raster(request: Request, name: str) -> Response:
    """Offer the form that takes a raster in."""
    house = house_of(request)
    with house.bench() as bench:
        wood = bench.wood(name)
    shown = [raster_shown(note) for note in wood.rasters]
    page = raster_page(wood.wood.name, shown, most_mb=house.settings.most_raster_mb)
    title = f"A raster under {page.name}"
    return show(request, "wood_raster.html.j2", page, title=title)


@router.post("/wood/raster", **uploads(more=tuple(field.key for field in RASTER)))
async def attach(request: Request, name: str) -> Response:
    """Take a raster in; a job then lays it under the wood."""
    house = house_of(request)
    folder = await run_in_threadpool(_folder, request, name)
    limits = UploadLimits(most_bytes=house.settings.most_raster_mb * MB)
    upload = await save_upload(request, folder, limits)
    return await run_in_threadpool(_laid_under, request, name, upload)


@router.post("/wood/raster/detach", **writes(more=("name", "raster")))
def detach(request: Request, typed: Typed) -> Response:
    """Take a raster off a wood; its file stays."""
    name, file = typed.get("name", ""), typed.get("raster", "")
    with house_of(request).bench() as bench:
        before = bench.wood(name)
        left = bench.detach_raster(name, Path(file).name)
    gone = [note for note in before.rasters if note not in left]
    there = link("/wood", name=before.wood.name)
    undo = undo_by(request, _laid_again(before.wood.name, gone), there)
    words = f"{file} no longer lies under {before.wood.name}; the file is still there."
    return go(request, there, words, undo=undo)


def _folder(request: Request, name: str) -> Path:
    """Where rasters come in, once it is known that the wood is there."""
    with house_of(request).bench() as bench:
        bench.wood(name)
        return bench.raster_folder()


def _laid_under(request: Request, name: str, upload: SavedUpload) -> Response:
    house = house_of(request)
    try:
        said = read_boxes(RASTER, upload.fields)
        with house.bench() as bench:
            wood = bench.wood(name).wood.name
            file = bench.keep_raster_file(
                upload.path, name=upload.given_name, sha256=upload.sha256
            )
    finally:
        upload.path.unlink(missing_ok=True)
    coming = _Coming(
        wood=wood,
        file=file,
        kind=said.get("kind", "ground"),
        height_unit=said.get("height_unit"),
        crs=said.get("crs"),
    )

    def work(progress: Progress) -> str:
        with house.bench() as bench:
            return _attached(bench, coming, progress)

    state = house.jobs.start(
        f"laying {file.name} under {wood}", work, then=link("/wood", name=wood)
    )
    return go(request, link("/job", name=state.name))


def _attached(bench: Workbench, coming: _Coming, progress: Progress) -> str:
    bench.attach_uploaded(
        coming.wood, [coming.file], kind=coming.kind, height_unit=coming.height_unit,
        crs=coming.crs, progress=progress,
    )  # fmt: skip
    return f"{coming.file.name} lies under {coming.wood}."


def attach_again(bench: Workbench, wood: str, notes: Sequence[RasterNote]) -> list[str]:
    """Lay rasters under a wood again, and say which could not be."""
    lost = []
    for note in notes:
        try:
            bench.attach_raster(
                wood, [Path(note.path)], kind=note.kind, height_unit=note.height_unit or None
            )
        except ShivelightError as why:
            lost.append(f"{Path(note.path).name} could not be laid under it again: {why}")
    return lost


def _laid_again(wood: str, notes: Sequence[RasterNote]) -> Back:
    def back(bench: Workbench) -> str:
        lost = attach_again(bench, wood, notes)
        return " ".join(lost) or f"The raster lies under {wood} again."

    return back
