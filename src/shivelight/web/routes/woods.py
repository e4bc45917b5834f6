"""Woods: the list, one wood's page, its picture, and taking one out of the book."""

from fastapi import APIRouter, Request, Response

from shivelight.basis.errors import BadInputError
from shivelight.basis.places import Position
from shivelight.web.contexts.woods import woods_page
from shivelight.web.errors import status_of
from shivelight.web.forms import Typed, go, writes, wrong_of
from shivelight.web.routes import (
    woods_edit,
    woods_facts,
    woods_outline,
    woods_raster,
)
from shivelight.web.routes.undo import undo_by
from shivelight.web.routes.woods_page import Sent, show_wood
from shivelight.web.show import house_of, link, show
from shivelight.workbench.bench import Workbench

MOST_SIDE_PX = 1440
router = APIRouter()


@router.get("/woods")
def woods(request: Request) -> Response:
    """Every wood."""
    with house_of(request).bench() as bench:
        page = woods_page(bench.woods(), bench.today())
    return show(request, "woods.html.j2", page, title="Woods")


@router.get("/wood")
def wood(request: Request, name: str) -> Response:
    """One wood."""
    return show_wood(request, name)


@router.get("/wood/relief.png")
def relief(
    request: Request, name: str, latitude: float, longitude: float, radius_m: float, side: int
) -> Response:
    """Shaded ground of a wood round a place, as a picture."""
    centre = Position(latitude_deg=latitude, longitude_deg=longitude)
    with house_of(request).bench() as bench:
        view = bench.relief_of(
            name, centre=centre, radius_m=radius_m, side_px=min(side, MOST_SIDE_PX)
        )
    kept = {"Cache-Control": "private, max-age=3600"}
    return Response(view.png or b"", media_type="image/png", headers=kept)


@router.post("/wood/remove", **writes(more=("name",)))
def remove(request: Request, typed: Typed) -> Response:
    """Take a wood to which nothing belongs out of the book."""
    name = typed.get("name", "")
    try:
        with house_of(request).bench() as bench:
            before = bench.wood(name).wood
            bench.remove_wood(name)
    except BadInputError as why:
        sent = Sent(form="out", wrong=wrong_of(why))
        return show_wood(request, name, sent, status=status_of(why))

    def back(bench: Workbench) -> str:
        bench.add_wood(before)
        return f"{before.name} is in the book again."

    undo = undo_by(request, back, link("/wood", name=before.name))
    return go(request, "/woods", f"{before.name} is out of the book.", undo=undo)


for part in (woods_edit, woods_facts, woods_outline, woods_raster):
    router.include_router(part.router)
