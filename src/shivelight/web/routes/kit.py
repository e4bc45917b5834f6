"""Kit: what is in the bag."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Request, Response

from shivelight.outing.kit import Body, KitLens
from shivelight.web.boxes import boxes, read_boxes
from shivelight.web.contexts.kit import KitPage, kit_page
from shivelight.web.errors import status_of
from shivelight.web.forms import REFUSALS, Form, Typed, go, writes, wrong_of
from shivelight.web.house import Undo
from shivelight.web.show import house_of, show
from shivelight.workbench.bench import Workbench
from shivelight.workbench.fields.field import Field
from shivelight.workbench.fields.kit import BODY, LENS, NAME

router = APIRouter()
ASKED_BODY = frozenset({"name", "sensor", "pixels_across"})
ASKED_LENS = frozenset({"name", "focal", "widest_f_number"})


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sent:
    """What was sent last and why it was refused."""

    typed: Mapping[str, str] | None = None
    wrong: Mapping[str, str] | None = None


@router.get("/kit")
def kit(request: Request) -> Response:
    """Bodies and lenses."""
    return show(request, "kit.html.j2", _page(request), title="Kit")


@router.post("/kit/body", **writes(NAME, BODY))
def add_body(request: Request, typed: Typed) -> Response:
    """Put a body into the kit."""

    def put_in(bench: Workbench, said: dict[str, Any]) -> None:
        width_mm, height_mm = said.pop("sensor")
        bench.add_body(Body(sensor_width_mm=width_mm, sensor_height_mm=height_mm, **said))

    return _added(request, typed, put_in, table=NAME + BODY, asked=ASKED_BODY, kind="body")


@router.post("/kit/lens", **writes(NAME, LENS))
def add_lens(request: Request, typed: Typed) -> Response:
    """Put a lens into the kit."""

    def put_in(bench: Workbench, said: dict[str, Any]) -> None:
        shortest_mm, longest_mm = said.pop("focal")
        bench.add_lens(KitLens(shortest_mm=shortest_mm, longest_mm=longest_mm, **said))

    return _added(request, typed, put_in, table=NAME + LENS, asked=ASKED_LENS, kind="lens")


def _added(
    request: Request,
    typed: Typed,
    put_in: Callable[[Workbench, dict[str, Any]], None],
    *,
    table: tuple[Field, ...],
    asked: frozenset[str],
    kind: str,
) -> Response:
    """Put one thing in, or show its form again with what was refused."""
    try:
        said = read_boxes(table, typed, asked=asked)
        name = said["name"]
        with house_of(request).bench() as bench:
            put_in(bench, said)
    except REFUSALS as why:
        page = _page(request, **{kind: _Sent(typed=typed, wrong=wrong_of(why))})
        return show(request, "kit.html.j2", page, title="Kit", status=status_of(why))
    undo = Undo(path="/kit/drop", boxes={"name": name})
    return go(request, "/kit", f"{name} is in the kit.", undo=undo)


@router.post("/kit/drop", **writes(NAME))
def drop(request: Request, typed: Typed) -> Response:
    """Take a body or a lens out of the kit."""
    name = typed.get("name", "")
    with house_of(request).bench() as bench:
        before = bench.kit()
        bench.drop_from_kit(name)
    return go(request, "/kit", f"{name} is out of the kit.", undo=_put_back(before, name))


def _put_back(before: object, name: str) -> Undo | None:
    """Write the form that puts a dropped thing back as it was."""
    for path, table, things in (
        ("/kit/body", BODY, getattr(before, "bodies", ())),
        ("/kit/lens", LENS, getattr(before, "lenses", ())),
    ):
        for one in things:
            if one.name.casefold() == name.casefold():
                filled = boxes(NAME + table, kit_values(one))
                return Undo(path=path, boxes={box.key: box.text for box in filled})
    return None


def kit_values(one: Body | KitLens) -> dict[str, object]:
    """Values of a body or a lens by the keys of its boxes."""
    if isinstance(one, Body):
        return {
            "name": one.name,
            "sensor": (one.sensor_width_mm, one.sensor_height_mm),
            "pixels_across": one.pixels_across,
            "base_iso": one.base_iso,
        }
    return {
        "name": one.name,
        "focal": (one.shortest_mm, one.longest_mm),
        "widest_f_number": one.widest_f_number,
        "nearest_focus_m": one.nearest_focus_m,
    }


def _page(request: Request, *, body: _Sent = _Sent(), lens: _Sent = _Sent()) -> KitPage:
    with house_of(request).bench() as bench:
        kit = bench.kit()
    return kit_page(
        kit,
        body=_form("/kit/body", "Put this body in", NAME + BODY, sent=body, asked=ASKED_BODY),
        lens=_form("/kit/lens", "Put this lens in", NAME + LENS, sent=lens, asked=ASKED_LENS),
    )


def _form(
    action: str, button: str, table: tuple[Field, ...], *, sent: _Sent, asked: frozenset[str]
) -> Form:
    filled = boxes(table, typed=sent.typed, wrong=sent.wrong, asked=asked)
    return Form(action=action, button=button, boxes=filled, wrong=(sent.wrong or {}).get("", ""))
