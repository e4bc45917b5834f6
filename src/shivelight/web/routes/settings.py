"""Settings: every one with its help, the state of the book, a copy of it, and the help page."""

import tempfile
from collections.abc import Mapping
from pathlib import Path

from fastapi import APIRouter, Request, Response
from fastapi.responses import FileResponse
from starlette.background import BackgroundTask

from shivelight.basis.errors import BadInputError, ShivelightError
from shivelight.web.boxes import RefusedError
from shivelight.web.contexts.help import HELP
from shivelight.web.contexts.settings import (
    SettingsPage,
    can_change,
    settings_page,
    with_unit,
)
from shivelight.web.errors import status_of
from shivelight.web.forms import REFUSALS, Typed, go, writes, wrong_of
from shivelight.web.house import House, Undo
from shivelight.web.own import is_here, keep_settings, own_bench, own_settings, require_here
from shivelight.web.show import house_of, show
from shivelight.workbench.changing import (
    SettingShown,
    change_settings,
    reset_settings,
    settings_shown,
)
from shivelight.workbench.settings import Settings, with_said

router = APIRouter()
NAMES = tuple(Settings.__dataclass_fields__)
TITLE = "Settings"
MOST_LETTERS = 400
MOST_FIGURES = 15
"""No setting wants more; a float holds no more figures. A judgement."""


@router.get("/settings")
def settings(request: Request) -> Response:
    """Every setting, and the state of the book."""
    return show(request, "settings.html.j2", _page(request), title=TITLE)


@router.post("/settings", **writes(more=(*NAMES, "reset")))
def change(request: Request, typed: Typed) -> Response:
    """Keep what was changed, in the file beside the book."""
    house = house_of(request)
    try:
        shown = {one.name: one for one in _shown(house)}
        said = _changed(shown, typed, here=is_here(request))
        resets = typed.get("reset", "").split()
        _require_may([shown[one] for one in resets if one in shown], here=is_here(request))
        undo = _undo(shown, said)
        _keep(house, said, resets)
    except REFUSALS as why:
        page = _page(request, typed=typed, wrong=wrong_of(why))
        return show(request, "settings.html.j2", page, title=TITLE, status=status_of(why))
    words = "; ".join(
        f"{shown[name].label} is {with_unit(shown[name], value)}" for name, value in said.items()
    )
    if resets:
        words = "It is as it was before"
    return go(request, "/settings", f"{_upper(words) or 'Nothing was changed'}.", undo=undo)


@router.post("/settings/reset", **writes(more=("name",)))
def reset(request: Request, typed: Typed) -> Response:
    """Let the default of one setting count again."""
    house, name = house_of(request), typed.get("name", "")
    before = settings_shown(own_settings(house), house.environment, only=name)[0]
    _require_may([before], here=is_here(request))
    keep_settings(house, reset_settings(own_settings(house), house.environment, [name]))
    words = f"{_upper(before.label)} is {with_unit(before, before.default)} again, the default."
    return go(request, "/settings", words, undo=Undo(path="/settings", boxes={name: before.value}))


@router.get("/book/copy")
def copy(request: Request) -> Response:
    """Save a consistent copy of one's own book, made while it is open."""
    require_here(request, "A copy of the book")
    folder = tempfile.TemporaryDirectory(prefix="shivelight-")
    try:
        with own_bench(house_of(request)) as bench:
            made = bench.book_backup(Path(folder.name) / "book.sqlite")
            name = f"shivelight-book-{bench.today()}.sqlite"
    except BaseException:
        folder.cleanup()
        raise
    return FileResponse(
        made, media_type="application/vnd.sqlite3", filename=name,
        background=BackgroundTask(folder.cleanup),
    )  # fmt: skip


@router.get("/help")
def help_(request: Request) -> Response:
    """Say what each page is for, the keys, and the commands."""
    return show(request, "help.html.j2", HELP, title="Help")


def _shown(house: House) -> tuple[SettingShown, ...]:
    return settings_shown(own_settings(house), house.environment)


def _page(
    request: Request,
    *,
    typed: Mapping[str, str] | None = None,
    wrong: Mapping[str, str] | None = None,
) -> SettingsPage:
    house = house_of(request)
    with own_bench(house) as bench:
        report = bench.book_report()
    return settings_page(
        _shown(house), report, in_demo=house.is_demo, is_here=is_here(request), typed=typed,
        wrong=wrong,
    )  # fmt: skip


def _changed(
    shown: Mapping[str, SettingShown], typed: Mapping[str, str], *, here: bool
) -> dict[str, str]:
    """Pick what differs from what is; refuse, each beside its box, what cannot be."""
    said = {
        name: _plain(shown[name], text)
        for name, text in typed.items()
        if name in shown and _plain(shown[name], text) != shown[name].value
    }
    _require_may([shown[name] for name in said], here=here)
    wrong: dict[str, str] = {}
    for name, value in said.items():
        try:
            _require_short(shown[name], value)
            with_said(Settings(), {name: value}, "this page")
        except ShivelightError as why:
            wrong[name] = str(why)
    if wrong:
        raise RefusedError(wrong)
    return said


def _require_short(one: SettingShown, value: str) -> None:
    most = MOST_LETTERS if one.kind == "text" else MOST_FIGURES
    if len(value) > most:
        signs = "letters" if one.kind == "text" else "figures"
        raise BadInputError(f"{_upper(one.label)} has {len(value)} {signs}; {most} is the most.")
    if not value.isprintable():
        raise BadInputError(f"{_upper(one.label)} holds a sign that cannot be printed.")


def _require_may(settings: list[SettingShown], *, here: bool) -> None:
    wrong = {
        one.name: f"{_upper(one.label)} is not changed from here."
        for one in settings
        if not can_change(one, is_here=here)
    }
    if wrong:
        raise RefusedError(wrong)


def _plain(one: SettingShown, text: str) -> str:
    """Write what was typed as the file holds it: a decimal comma becomes a point."""
    said = text.strip()
    return said.replace(",", ".") if one.kind == "number" else said


def _keep(house: House, said: Mapping[str, str], resets: list[str]) -> None:
    if said:
        keep_settings(house, change_settings(own_settings(house), house.environment, said))
    if resets:
        keep_settings(house, reset_settings(own_settings(house), house.environment, resets))


def _undo(shown: Mapping[str, SettingShown], said: Mapping[str, str]) -> Undo | None:
    """Say how a change is taken back: by the value before, or by the default again."""
    if not said:
        return None
    before = {name: shown[name].value for name in said if shown[name].source == "file"}
    resets = [name for name in said if name not in before]
    return Undo(path="/settings", boxes=before | ({"reset": " ".join(resets)} if resets else {}))


def _upper(words: str) -> str:
    return words[:1].upper() + words[1:]
