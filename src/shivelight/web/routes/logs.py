"""Log: what was really there, in five taps, and what the log has come to."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from fastapi import APIRouter, Request, Response

from shivelight.basis.errors import NotFoundError, ShivelightError
from shivelight.outing.found import Found
from shivelight.web.boxes import RefusedError, boxes, read_boxes
from shivelight.web.contexts.logs import (
    ASKED,
    WAS,
    LogPage,
    Preset,
    log_fields,
    log_page,
    log_values,
    logged_words,
    preset_of_log,
    preset_of_outing,
)
from shivelight.web.errors import status_of
from shivelight.web.forms import REFUSALS, Form, Typed, go, writes, wrong_of
from shivelight.web.house import Undo
from shivelight.web.show import house_of, link, show
from shivelight.workbench import read
from shivelight.workbench.bench import Workbench
from shivelight.workbench.fields.field import Field
from shivelight.workbench.fields.logs import FOUND
from shivelight.workbench.results import WoodPage

T = TypeVar("T")
router = APIRouter()
TITLE = "What did you find?"
KEYS = ("wood", *WAS, "filled_wood", "filled_spot")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kept:
    """A log that was kept, and the one whose place it took."""

    log: Found
    former: Found | None
    zone_name: str


@router.get("/log")
def log(
    request: Request,
    day: str = "",
    wood: str = "",
    spot: str = "",
    change: str = "",
    kept: str = "",
) -> Response:
    """Five taps, with the last outing filled in; or an earlier log, to change it."""
    with house_of(request).bench() as bench:
        preset = _preset(bench, (day, wood, spot), change=bool(change))
        page = _page(bench, preset, counted=wood, kept=bool(kept))
    return show(request, "log.html.j2", page, title=TITLE)


@router.post("/log", **writes(FOUND, more=KEYS))
def keep(request: Request, typed: Typed) -> Response:
    """Keep one morning's log."""
    with house_of(request).bench() as bench:
        try:
            made = _keep(bench, typed)
        except REFUSALS as why:
            page = _refused(bench, typed, wrong_of(why))
            return show(request, "log.html.j2", page, title=TITLE, status=status_of(why))
    undo = _back(made)
    words = logged_words(made.log)
    if made.former is not None:
        words += " The former log is put aside, never away."
    there = link("/log", wood=made.log.wood, day=made.log.day, kept="yes")
    return go(request, there, words, undo=undo)


@router.post("/log/drop", **writes(more=("day", "wood", "spot")))
def drop(request: Request, typed: Typed) -> Response:
    """Take a log out of the counts; it is put aside, never away."""
    day, wood, spot = (typed.get(key, "") for key in ("day", "wood", "spot"))
    with house_of(request).bench() as bench:
        zone_name = bench.zone_of(bench.wood(wood).wood)
        was = bench.log_of(read.date(day), wood, spot)
        bench.take_back_found(read.date(day), wood=wood, spot=spot)
    undo = Undo(path="/log", boxes=_filled(was, zone_name)) if was is not None else None
    there = link("/log", wood=wood, kept="yes")
    return go(request, there, "That log is taken back and put aside.", undo=undo)


def _keep(bench: Workbench, typed: Mapping[str, str]) -> _Kept:
    """Read the boxes, keep the log, and put aside the one that was changed."""
    fields = _fields(bench, bench.woods())
    said = read_boxes(fields, typed, asked=ASKED)
    _require_words(fields, said)
    page = bench.wood(said["wood"])
    zone_name, wood = page.wood.zone_name, page.wood.name
    today = bench.today(page.wood)
    day = _in_box("day", lambda: read.past(read.day(said.pop("day", "today"), today), today))
    lifted = said.pop("lifted", None)
    if lifted is not None:
        said["lifted_utc"] = _in_box("lifted", lambda: read.on_day(day, lifted, zone_name))
    if said.get("spot") == typed.get("filled_spot") and wood != typed.get("filled_wood", wood):
        said.pop("spot", None)  # it was filled in for another wood than the one tapped
    made = _in_box("optical_range_m", lambda: Found(**{**said, "day": day, "wood": wood}))
    was = _was(bench, typed)
    former = was or bench.log_of(day, wood, made.spot)
    _in_box("spot", lambda: bench.log_found(made))
    if was is not None and (was.day, was.wood, was.spot) != (day, wood, made.spot):
        bench.take_back_found(was.day, wood=was.wood, spot=was.spot)
    return _Kept(log=made, former=former, zone_name=zone_name)


def _require_words(fields: tuple[Field, ...], said: Mapping[str, Any]) -> None:
    """Refuse, each beside its box, what is none of the words there are."""
    wrong = {
        field.key: f"{said[field.key]!r} is not one of: {', '.join(field.words)}."
        for field in fields
        if field.words and field.key in said and said[field.key] not in field.words
    }
    if wrong:
        raise RefusedError(wrong)


def _in_box(key: str, work: Callable[[], T]) -> T:
    """Do something; a refusal is told beside one box."""
    try:
        return work()
    except ShivelightError as why:
        raise RefusedError({key: str(why)}) from why


def _was(bench: Workbench, typed: Mapping[str, str]) -> Found | None:
    """Log that is being changed; None when a new one is kept."""
    day, wood, spot = (typed.get(key, "") for key in WAS)
    return bench.log_of(read.date(day), wood, spot) if day and wood else None


def _back(made: _Kept) -> Undo:
    """Say how a log is taken back: as it was before, or out of the counts."""
    log = made.log
    here = {"day": log.day.isoformat(), "wood": log.wood, "spot": log.spot}
    if made.former is None:
        return Undo(path="/log/drop", boxes=here)
    was = dict(zip(WAS, here.values(), strict=True))
    return Undo(path="/log", boxes=_filled(made.former, made.zone_name) | was)


def _filled(log: Found, zone_name: str) -> dict[str, str]:
    """Write a log as its form would send it."""
    fields = log_fields((log.wood,), (log.spot,) if log.spot else ())
    return {box.key: box.text for box in boxes(fields, log_values(log, zone_name)) if box.text}


def _fields(bench: Workbench, woods: tuple[WoodPage, ...]) -> tuple[Field, ...]:
    names = tuple(one.wood.name for one in woods)
    return log_fields(names, tuple(spot.name for spot in bench.spots()))


def _preset(bench: Workbench, place: tuple[str, str, str], *, change: bool) -> Preset:
    """Fill in an earlier log, or the last outing."""
    day, wood, spot = place
    if change and day and wood:
        log = bench.log_of(read.date(day), wood, spot)
        if log is None:
            raise NotFoundError(f"Nothing was logged in {spot or wood} on {day}.")
        return preset_of_log(log, bench.zone_of(bench.wood(wood).wood))
    woods = tuple(one.wood.name for one in bench.woods())
    return preset_of_outing(bench.last_outing(), bench.today(), woods=woods)


def _page(bench: Workbench, preset: Preset, *, counted: str, kept: bool) -> LogPage:
    woods = bench.woods()
    filled = boxes(_fields(bench, woods), preset.values, asked=ASKED)
    was = preset.was
    hidden = (
        tuple(zip(WAS, (was.day.isoformat(), was.wood, was.spot), strict=True))
        if was is not None
        else (
            ("filled_wood", str(preset.values.get("wood") or "")),
            ("filled_spot", str(preset.values.get("spot") or "")),
        )
    )
    form = Form(action="/log", button="Keep it", boxes=filled, hidden=hidden)
    return log_page(
        woods,
        bench.logs(),
        lede=preset.lede,
        form=form if woods else None,
        counted=counted or str(preset.values.get("wood") or ""),
        kept=kept,
        change=was is not None,
    )


def _refused(bench: Workbench, typed: Mapping[str, str], wrong: Mapping[str, str]) -> LogPage:
    """Show what was sent again, with its refusals beside the boxes."""
    woods = bench.woods()
    filled = boxes(_fields(bench, woods), typed=typed, wrong=wrong, asked=ASKED)
    hidden = tuple((key, typed[key]) for key in KEYS[1:] if key in typed)
    form = Form(
        action="/log", button="Keep it", boxes=filled, hidden=hidden, wrong=wrong.get("", "")
    )
    return log_page(
        woods, bench.logs(), lede="", form=form, counted="", kept=False,
        change=bool(typed.get("was_day")),
    )  # fmt: skip
