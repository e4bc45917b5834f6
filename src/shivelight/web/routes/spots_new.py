"""A new spot: from a photograph, or by hand."""

from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.concurrency import run_in_threadpool

from shivelight.basis.errors import ShivelightError
from shivelight.outing.spots import Spot, SpotState
from shivelight.web.bodies import PHOTO, hold_upload
from shivelight.web.boxes import read_boxes
from shivelight.web.contexts.spot import shown
from shivelight.web.contexts.spots_edit import (
    ASKED,
    SpotEdit,
    new_fields,
    new_spot,
    spot_changes,
)
from shivelight.web.errors import status_of
from shivelight.web.forms import REFUSALS, Typed, go, uploads, writes, wrong_of
from shivelight.web.house import House, Undo
from shivelight.web.routes.spots_edit import beside
from shivelight.web.routes.spots_pictures import picture_number
from shivelight.web.show import house_of, link, show
from shivelight.workbench.fields.spots import SPOT, WISHES

router = APIRouter()


@router.get("/spot/new")
def new(request: Request, wood: str = "", picture: str = "") -> Response:
    """Show a form for a new spot, filled from a picture where there is one."""
    page = _page(house_of(request), wood=wood, picture=picture)
    return show(request, "spot_new.html.j2", page, title="A new spot")


@router.post("/spot/new/photo", **uploads(more=("wood",)))
async def photo(request: Request) -> Response:
    """Keep a photograph, and go to the form that it fills."""
    upload = await hold_upload(request, PHOTO)
    number = await run_in_threadpool(_keep, house_of(request), upload.data)
    there = link("/spot/new", picture=number, wood=upload.fields.get("wood", ""))
    return go(request, there, "The photograph is kept with the book.")


@router.post("/spot/new", **writes(SPOT, WISHES, more=("name", "wood", "picture")))
def add(request: Request, typed: Typed) -> Response:
    """Put a new spot into the book, with the picture that it was made from."""
    house, picture = house_of(request), typed.get("picture", "")
    try:
        with house.bench() as bench:
            names = tuple(one.wood.name for one in bench.woods())
            said = read_boxes(new_fields(names), typed, asked=ASKED, emptied=True)
            spot = bench.add_spot(_spot(said))
            if picture:
                bench.give_picture(picture_number(picture), spot.name)
    except REFUSALS as why:
        page = _page(house, picture=picture, typed=typed, wrong=beside(why))
        status = status_of(why) if "" in wrong_of(why) else 422
        return show(request, "spot_new.html.j2", page, title="A new spot", status=status)
    undo = Undo(path="/spot/state", boxes={"name": spot.name, "state": SpotState.LOST.value})
    return go(request, link("/spot", name=spot.name), f"{spot.name} is in the book.", undo=undo)


def _spot(said: Mapping[str, Any]) -> Spot:
    typed = dict(said)
    wishes = (*(typed.pop("musts") or ()), *(typed.pop("likes") or ()))
    return Spot(**spot_changes(typed, None), wishes=wishes)


def _keep(house: House, data: bytes) -> int:
    with house.bench() as bench:
        return bench.keep_picture(data).id


def _page(
    house: House,
    *,
    wood: str = "",
    picture: str = "",
    typed: Mapping[str, str] | None = None,
    wrong: Mapping[str, str] | None = None,
) -> SpotEdit:
    """Make the form again; a picture that is gone leaves it as typed, with the reason above."""
    refused = dict(wrong or {})
    draft = None
    with house.bench() as bench:
        names = tuple(one.wood.name for one in bench.woods())
        if picture:
            try:
                draft = bench.spot_draft(picture_number(picture))
            except ShivelightError as why:
                if typed is None:
                    raise
                refused.setdefault("", str(why))
    return new_spot(
        names,
        wood=wood if wood in names else "",
        draft=draft,
        picture=None if draft is None else shown(draft.picture, "the new spot"),
        typed=typed,
        wrong=refused or None,
    )
