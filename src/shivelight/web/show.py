"""Show one context as a page or as JSON: the frame, the theme, the last words, the language."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any
from urllib.parse import quote, urlencode

from fastapi import Request, Response
from fastapi.responses import HTMLResponse

from shivelight.basis.errors import ShivelightError
from shivelight.basis.instants import zone_label
from shivelight.basis.records import json_text, to_plain
from shivelight.drawing.stand import stand_svg
from shivelight.web import static
from shivelight.web.house import House, Note
from shivelight.web.theme import is_before_dawn, theme_asked
from shivelight.web.tokens import Visit
from shivelight.web.worked_out import WORKED_OUT
from shivelight.workbench.bench import Workbench

if TYPE_CHECKING:
    from jinja2 import Environment

GROUPS = (
    (
        "the evening before",
        (
            ("Evening", "/evening"),
            ("Spots", "/spots"),
            ("Woods", "/woods"),
            ("Morning sheet", "/sheet"),
        ),
    ),
    ("out there", (("On arrival", "/arrive"), ("Stand point", "/stand"))),
    ("at home", (("Log", "/log"), ("Kit", "/kit"), ("Settings", "/settings"))),
)
AT_THE_THUMB = (
    ("Evening", "/evening"),
    ("Sheet", "/sheet"),
    ("On arrival", "/arrive"),
    ("Log", "/log"),
)
BELONGS = {
    "/spot": "/spots", "/wood": "/woods", "/word": "/sheet", "/pair": "/settings",
    "/devices": "/settings", "/start": "/evening", "/survey": "/stand", "/marks": "/stand",
    "/layers": "/stand",
}  # fmt: skip
"""Which page of the head an address without one of its own hangs under."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """What surrounds every page.

    Attributes
    ----------
    title : str
        Of the page.
    theme : {"paper", "dim"}
        As decided before the first paint.
    here : str
        Address in the head that the page belongs to.
    token : str
        Form token of this visit.
    note : Note or None
        What was done last, once.
    wall : str
        Day and time that the page goes by, where a clock is pretended; empty otherwise.
    is_demo : bool
        Whether the demo valley is being visited.
    path : str
        This address with its query, to come back to.
    """

    title: str
    theme: str
    here: str
    token: str
    note: Note | None
    wall: str
    is_demo: bool
    path: str


def house_of(request: Request) -> House:
    """Get what the app holds between requests."""
    house: House = request.app.state.house
    return house


def visit_of(request: Request) -> Visit | None:
    """Who asks, as the guard has found; None where a refusal comes before it."""
    visit = getattr(request.state, "visit", None)
    return visit if isinstance(visit, Visit) else None


def wants_json(request: Request) -> bool:
    """Whether the answer is to be JSON: asked for by header or by ``?form=json``."""
    if request.query_params.get("form") == "json":
        return True
    accepted = request.headers.get("accept", "")
    return "application/json" in accepted and "text/html" not in accepted


def show(
    request: Request, template: str, context: Any, *, title: str, status: int = 200
) -> Response:
    """Answer with a page, or with the same value as JSON.

    Parameters
    ----------
    request : Request
        Being answered.
    template : str
        Name of the page's template.
    context : dataclass
        All that it says; the template calls it ``page``.
    title : str
        Of the page.
    status : int
        Of the answer.
    """
    if wants_json(request):
        said = context if status < 400 else _refusal(context, status)
        return Response(json_text(said), status_code=status, media_type="application/json")
    text = pages().get_template(template).render(page=context, frame=_frame(request, title))
    return HTMLResponse(text, status_code=status)


def _refusal(context: Any, status: int) -> Any:
    """Give the one shape of an error; a form's page is refused for what stands in its boxes."""
    plain = to_plain(context)
    if isinstance(plain, dict) and "error" in plain:
        return {"error": plain["error"]}
    sentence = " ".join(dict.fromkeys(_wrongs(plain))) or "This was not taken."
    return {"error": {"status": status, "kind": "not understood", "sentence": sentence}}


def _wrongs(plain: Any) -> Iterator[str]:
    """Give every sentence of refusal inside a page."""
    if isinstance(plain, Mapping):
        for name, one in plain.items():
            if name == "wrong" and isinstance(one, str) and one:
                yield one
            else:
                yield from _wrongs(one)
    elif isinstance(plain, (list, tuple)):
        for one in plain:
            yield from _wrongs(one)


def link(path: str, **query: object) -> str:
    """Write an address with its query, leaving out what is empty."""
    said = {key: str(value) for key, value in query.items() if value not in (None, "")}
    return f"{path}?{urlencode(said, quote_via=quote)}" if said else path


@lru_cache(maxsize=1)
def pages() -> "Environment":
    """Jinja's environment over the shipped templates, escaping everything by default."""
    from jinja2 import (  # noqa: PLC0415  wanted late
        Environment,
        PackageLoader,
        StrictUndefined,
    )

    made = Environment(
        loader=PackageLoader("shivelight.web", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals |= {
        "groups": GROUPS, "at_the_thumb": AT_THE_THUMB, "static": static.address,
        "stand": stand_svg(lance=False), "worked_out": WORKED_OUT, "link": link,
    }  # fmt: skip
    return made


def _frame(request: Request, title: str) -> Frame:
    house, visit = house_of(request), visit_of(request)
    theme, wall = _by_the_book(house, theme_asked(request, house))
    path = request.url.path
    first = "/" + path.strip("/").split("/")[0]
    return Frame(
        title=title,
        theme=theme,
        here=BELONGS.get(first, first),
        token=visit.form_token if visit else "",
        note=house.notes.take(visit.session) if visit else None,
        wall=wall,
        is_demo=house.is_demo,
        path=path + (f"?{request.url.query}" if request.url.query else ""),
    )


def _by_the_book(house: House, theme: str) -> tuple[str, str]:
    """Theme, and the clock where one is pretended; the book is opened once where it is needed.

    A book that cannot be opened is what the page itself tells of; its frame does without.
    """
    if theme != "clock" and house.now_utc is None:
        return theme, ""
    try:
        with house.bench() as bench:
            if theme == "clock":
                theme = "dim" if is_before_dawn(bench) else "paper"
            return theme, _wall_words(bench) if house.now_utc is not None else ""
    except ShivelightError:
        return "paper" if theme == "clock" else theme, ""


def _wall_words(bench: Workbench) -> str:
    wall, zone = bench.wall_now(), zone_label(bench.now_utc, bench.zone_of())
    return f"{wall:%A} {wall.day} {wall:%B %Y}, {wall:%H:%M} {zone}"
