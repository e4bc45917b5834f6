"""A spot typed in: one that is changed, and its wishes."""

from collections.abc import Mapping

from fastapi import APIRouter, Request, Response

from shivelight.web.boxes import boxes, merged, read_boxes
from shivelight.web.contexts.spots_edit import (
    ASKED,
    change_spot,
    read_wishes,
    spot_changes,
    spot_values,
    wishes_page,
    with_example,
    wood_field,
)
from shivelight.web.errors import status_of
from shivelight.web.forms import REFUSALS, Typed, go, writes, wrong_of
from shivelight.web.routes.spots_undo import put_back
from shivelight.web.show import house_of, link, show
from shivelight.workbench.fields.spots import SPOT, WISHES

router = APIRouter()


@router.get("/spot/edit")
def edit(request: Request, name: str) -> Response:
    """Show a form with a spot as it stands."""
    return _edit(request, name)


@router.post("/spot/edit", **writes(SPOT, more=("name", "wood", "was")))
def change(request: Request, typed: Typed) -> Response:
    """Change a spot."""
    name = typed.get("name", "")
    with house_of(request).bench() as bench:
        before = bench.spot(name)
        names = tuple(one.wood.name for one in bench.woods())
    try:
        fields = wood_field(names) + SPOT
        typed = merged(typed, boxes(fields, spot_values(before)))
        said = read_boxes(fields, typed, asked=ASKED, emptied=True)
        with house_of(request).bench() as bench:
            after = bench.change_spot(before.name, **spot_changes(said, before))
    except REFUSALS as why:
        return _edit(request, name, typed=typed, why=why)
    there = link("/spot", name=after.name)
    undo = put_back(request, before, after)
    return go(request, there, f"{after.name} is kept as you changed it.", undo=undo)


@router.get("/spot/wishes")
def wishes(request: Request, name: str) -> Response:
    """Show the wishes of a spot, one a line."""
    with house_of(request).bench() as bench:
        page = wishes_page(bench.spot(name))
    return show(request, "spot_wishes.html.j2", page, title=f"Wishes of {page.name}")


@router.post("/spot/wishes", **writes(WISHES, more=("name", "add")))
def wish(request: Request, typed: Typed) -> Response:
    """Keep the wishes; the button of an example only puts it into its box."""
    with house_of(request).bench() as bench:
        before = bench.spot(typed.get("name", ""))
    title = f"Wishes of {before.name}"
    if typed.get("add"):
        page = wishes_page(before, typed=with_example(typed))
        return show(request, "spot_wishes.html.j2", page, title=title)
    try:
        kept = read_wishes(typed)
        with house_of(request).bench() as bench:
            after = bench.change_spot(before.name, wishes=kept)
    except REFUSALS as why:
        page = wishes_page(before, typed=typed, wrong=wrong_of(why))
        return show(request, "spot_wishes.html.j2", page, title=title, status=422)
    there = link("/spot", name=after.name)
    undo = put_back(request, before, after)
    return go(request, there, f"The wishes of {after.name} are kept.", undo=undo)


def _edit(
    request: Request,
    name: str,
    *,
    typed: Mapping[str, str] | None = None,
    why: Exception | None = None,
) -> Response:
    with house_of(request).bench() as bench:
        spot = bench.spot(name)
        names = tuple(one.wood.name for one in bench.woods())
    wrong = None if why is None else beside(why)
    page = change_spot(spot, names, typed=typed, wrong=wrong)
    status = 200 if why is None else status_of(why) if "" in wrong_of(why) else 422
    title = f"Change {spot.name}"
    return show(request, "spot_edit.html.j2", page, title=title, status=status)


BESIDE = {
    "bearing of view": "view_azimuth_deg",
    "lens height": "lens_height_m",
    "focal length": "focal_length_mm",
    "sensor width": "sensor_width_mm",
    "walk": "walk_min",
    "ground height": "ground_height_m",
}


def beside(why: Exception) -> Mapping[str, str]:
    """Why a form was refused, by box: a number outside its limits belongs to its own box."""
    name = getattr(why, "name", "")
    return {BESIDE[name]: str(why)} if name in BESIDE else wrong_of(why)
