"""Trunks marked on a kept picture, measured, and taken into the survey of a spot."""

from collections.abc import Mapping
from dataclasses import replace

from fastapi import APIRouter, Request, Response

from shivelight.basis.errors import BadInputError, OutOfRangeError
from shivelight.outing.pictures import Picture
from shivelight.scene.elements import Slope
from shivelight.web.contexts.surveys_marks import (
    KEYS,
    MarksDraft,
    draft_from,
    nearer,
    part_of,
    tap_of,
    tapped,
    with_trunk,
)
from shivelight.web.contexts.surveys_photo import (
    Measured,
    measured_words,
    photo_page,
    sides_of,
    tap_error_px,
)
from shivelight.web.errors import status_of
from shivelight.web.forms import REFUSALS, Typed, go, writes, wrong_of
from shivelight.web.routes.spots_pictures import picture_number
from shivelight.web.routes.surveys_undo import put_back
from shivelight.web.show import house_of, link, show
from shivelight.workbench import picture_marks, read
from shivelight.workbench.bench import Workbench
from shivelight.workbench.survey_given import LENS_HEIGHT_M, PhotoGiven
from shivelight.workbench.survey_pairs import PhotoSurvey
from shivelight.workbench.typed_marks import read_marks

router = APIRouter()
TURNS = frozenset({"closer", "wider", "whole", "north", "south", "west", "east"})


@router.get("/survey/photo")
def photo(request: Request, spot: str, picture: str) -> Response:
    """Show a picture of a spot to mark trunks on."""
    with house_of(request).bench() as bench:
        known = bench.spot(spot)
        held = bench.picture(picture_number(picture))
        draft = MarksDraft(lens_height=f"{known.lens_height_m:g}")
    return _show(request, known.name, held, draft)


@router.get("/survey/photo/part")
def part(
    request: Request, picture: str, side: int, *, zoom: str = "1", x: str = "0.5", y: str = "0.5"
) -> Response:
    """Show a part of a picture, upright and without any fact of its file."""
    draft = draft_from({"zoom": zoom, "middle_x": x, "middle_y": y})
    with house_of(request).bench() as bench:
        held, data = picture_marks.file_of(bench, picture_number(picture))
    if side not in sides_of(held):
        raise BadInputError(f"Pictures are marked {sides_of(held)} px wide, not {side}.")
    rectangle = part_of(draft, held.width_px, held.height_px)
    shown = picture_marks.part_jpeg(data, rectangle, width_px=side)
    kept = {"Cache-Control": "private, max-age=86400"}
    return Response(shown, media_type="image/jpeg", headers=kept)


@router.post("/survey/photo", **writes(more=("spot", "picture", "do", *KEYS)))
def mark(request: Request, typed: Typed) -> Response:
    """Mark one step further, measure what is marked, or take it into the survey."""
    draft = draft_from(typed)
    with house_of(request).bench() as bench:
        spot = bench.spot(typed.get("spot", "")).name
        held = bench.picture(picture_number(typed.get("picture", "")))
        try:
            if typed.get("do") == "take":
                return _take(request, bench, (spot, held, draft))
            draft, measured = _next(bench, (spot, held, draft), typed)
        except REFUSALS as why:
            refused = replace(draft, wrong=wrong_of(why))
            return _show(request, spot, held, refused, status=status_of(why))
    return _show(request, spot, held, draft, measured=measured)


def _next(
    bench: Workbench, marked: tuple[str, Picture, MarksDraft], typed: Mapping[str, str]
) -> tuple[MarksDraft, Measured | None]:
    _, held, draft = marked
    do = typed.get("do", "")
    tap = tap_of(typed, held.height_px / held.width_px)
    if tap is not None:
        return tapped(draft, tap, part_of(draft, held.width_px, held.height_px)), None
    if do in TURNS:
        return nearer(draft, do), None
    if do == "trunk":
        return with_trunk(draft), None
    if do == "measure":
        return draft, measured_words(_measured(bench, *marked))
    return draft, None


def _measured(bench: Workbench, spot: str, held: Picture, draft: MarksDraft) -> PhotoSurvey:
    marks = read_marks(draft.marks)
    if not marks:
        raise BadInputError("No trunk is marked yet; mark one and write it down first.")
    given = given_from(draft, bench.kept_survey(spot).survey.slope)
    _, data = picture_marks.file_of(bench, held.id)
    error_px = tap_error_px(held, draft)
    photos = picture_marks.photos_of(bench)
    return photos.marks_on_photo(data, marks, given=given, pixel_error_px=error_px)


def _take(request: Request, bench: Workbench, marked: tuple[str, Picture, MarksDraft]) -> Response:
    """Take what is measured into the survey; trunks of the same name are measured anew."""
    spot, held, _ = marked
    found = _measured(bench, *marked)
    before, after = picture_marks.take_trunks(bench, spot, found, how=f"on picture {held.id}")
    left = "".join(f" {why}" for _, why in found.not_measured)
    count = "1 trunk is" if len(found.trunks) == 1 else f"{len(found.trunks)} trunks are"
    words = f"{count} in the survey of {spot}, measured on picture {held.id}.{left}"
    there = link("/survey", spot=spot)
    return go(request, there, words, undo=put_back(request, before, after))


def given_from(draft: MarksDraft, slope: Slope) -> PhotoGiven:
    """Read what a person tells beside a photograph, on the ground of the survey."""
    return PhotoGiven(
        focal_length_mm=_number(draft.focal, "focal length", "mm"),
        sensor_width_mm=_number(draft.sensor, "width of the sensor", "mm"),
        lens_height_m=_number(draft.lens_height, "height of the lens", "m") or LENS_HEIGHT_M,
        pitch_deg=_number(draft.pitch, "tilt", "°"),
        slope=slope,
    )


def _number(text: str, what: str, unit: str) -> float | None:
    if not text:
        return None
    try:
        return read.number(text, what=what, unit=unit)
    except OutOfRangeError as why:
        raise BadInputError(str(why)) from why


def _show(
    request: Request,
    spot: str,
    held: Picture,
    draft: MarksDraft,
    *,
    measured: Measured | None = None,
    status: int = 200,
) -> Response:
    page = photo_page(spot, held, draft, measured=measured)
    title = f"Trunks on picture {held.id}"
    return show(request, "survey_photo.html.j2", page, title=title, status=status)
