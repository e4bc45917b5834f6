"""Layers of a spot in mist: the stair at a paced range, and the window that parts them best."""

from fastapi import APIRouter, Request, Response

from shivelight.basis.errors import BadInputError
from shivelight.web.contexts.layers import USUAL_M, layers_page
from shivelight.web.errors import status_of
from shivelight.web.forms import REFUSALS, Typed, go, writes
from shivelight.web.routes.spots_undo import put_back
from shivelight.web.show import house_of, link, show
from shivelight.workbench import read

router = APIRouter()


@router.get("/layers")
def layers(request: Request, spot: str, range: str = "") -> Response:  # noqa: A002  as it is asked
    """Show how the layers of a spot part at a paced optical range."""
    status, wrong, found, stair = 200, "", None, None
    with house_of(request).bench() as bench:
        name = bench.spot(spot).name
        try:
            range_m = _range_m(range)
            found = bench.layers(name, range_m)
            stair = bench.stair_picture(name, _three(range_m, found.best_m))
        except REFUSALS as why:
            status, wrong = (status_of(why) if range else 200), str(why)
    page = layers_page(name, range, found, stair=stair, wrong=wrong)
    return show(request, "layers.html.j2", page, title=f"Layers: {name}", status=status)


@router.post("/layers/wish", **writes(more=("spot", "range")))
def wish(request: Request, typed: Typed) -> Response:
    """Make the best window a wish of the spot."""
    with house_of(request).bench() as bench:
        before = bench.spot(typed.get("spot", ""))
        found = bench.layers(before.name, _range_m(typed.get("range", "")), wish=True)
        after = bench.spot(before.name)
    there = link("/layers", spot=before.name, range=typed.get("range", ""))
    undo = put_back(request, before, after)
    return go(request, there, f"{before.name} now waits for {found.wish}.", undo=undo)


def _range_m(text: str) -> float:
    metres = read.number(text, what="optical range", unit="m") if text.strip() else USUAL_M
    if not 1.0 <= metres <= 100_000.0:
        raise BadInputError(f"The optical range is {metres:g} m; it must be 1 to 100000 m.")
    return metres


def _three(range_m: float, best_m: float) -> tuple[float, ...]:
    """Ranges to draw: as paced, and the best where that is another."""
    return (range_m,) if abs(best_m / range_m - 1.0) < 0.05 else (range_m, best_m)
