"""Put one wood's page together, whichever of its forms was sent."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from fastapi import Request, Response

from shivelight.outing.kept import RasterNote
from shivelight.outing.woods import AccessFact
from shivelight.web.boxes import boxes
from shivelight.web.contexts.wood import (
    RasterShown,
    WoodForms,
    WoodShown,
    size_words,
    wood_shown,
)
from shivelight.web.contexts.woods_fields import FACT, SEASON
from shivelight.web.contexts.woods_ground import (
    PAGE_PX,
    PHONE_PX,
    GroundFigure,
    ground_figure,
)
from shivelight.web.forms import Form
from shivelight.web.show import house_of, show
from shivelight.workbench.bench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Sent:
    """What was sent last, to which form of the page, and why it was refused."""

    form: str = ""
    typed: Mapping[str, str] | None = None
    wrong: Mapping[str, str] | None = None


def show_wood(request: Request, name: str, sent: Sent = Sent(), *, status: int = 200) -> Response:
    """Answer with a wood's page."""
    with house_of(request).bench() as bench:
        page = wood_page(bench, name, sent)
    return show(request, "wood.html.j2", page, title=page.name, status=status)


def wood_page(bench: Workbench, name: str, sent: Sent) -> WoodShown:
    """Ask the workbench for a wood and all that stands on its page."""
    page = bench.wood(name)
    wood = page.wood.name
    return wood_shown(
        page,
        ground=ground(bench, wood),
        notes=bench.season_notes(wood),
        forms=WoodForms(
            access=_form(sent, "access", "/wood/access", wood, button="Note it"),
            season=_form(sent, "season", "/wood/season", wood, button="Note it"),
            change=tuple(
                _change(sent, wood, number, fact) for number, fact in enumerate(page.wood.access)
            ),
            wrong_at=sent.form,
            wrong_out=(sent.wrong or {}).get("", "") if sent.form == "out" else "",
        ),
        rasters=[raster_shown(note) for note in page.rasters],
        today=bench.today(page.wood),
    )


def ground(bench: Workbench, wood: str) -> GroundFigure:
    """Draw a wood's ground with all that stands on it."""
    page = bench.ground_of(wood, side_px=PAGE_PX)
    phone = bench.ground_of(wood, side_px=PHONE_PX)
    return ground_figure(page, phone, bench.relief_overlay)


def raster_shown(note: RasterNote) -> RasterShown:
    """Say a raster's name, kind and size; where it lies is nobody's business on a phone."""
    path = Path(note.path)
    unit = f", heights in {note.height_unit}" if note.height_unit else ""
    size = size_words(path.stat().st_size if path.is_file() else None)
    return RasterShown(name=path.name, kind=f"{note.kind}{unit}", size=size)


def _form(sent: Sent, form: str, action: str, wood: str, *, button: str) -> Form:
    """One of the two empty forms, or as it was sent."""
    table, asked = (FACT, "what") if form == "access" else (SEASON, "")
    mine = sent if sent.form == form else Sent()
    wrong = mine.wrong or {}
    return Form(
        action=action,
        button=button,
        boxes=boxes(table, typed=mine.typed, wrong=wrong, asked=frozenset({asked})),
        hidden=(("name", wood),),
        wrong=wrong.get("", ""),
    )


def _change(sent: Sent, wood: str, number: int, fact: AccessFact) -> Form:
    """Write the form that changes a fact."""
    mine = sent if sent.form == str(number) else Sent()
    wrong = mine.wrong or {}
    values = {field.key: getattr(fact, field.key) for field in FACT}
    return Form(
        action="/wood/access/change",
        button="Change it",
        boxes=boxes(FACT, values, typed=mine.typed, wrong=wrong, asked=frozenset({"what"})),
        hidden=(("name", wood), ("number", str(number)), ("was", fact.what)),
        wrong=wrong.get("", ""),
    )
