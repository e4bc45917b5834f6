"""Pages as they were when last looked at: their words and parts. Snapshots, not published values.

``SHIVELIGHT_SNAPSHOTS=write pytest tests/web/test_page_snapshots.py`` writes them anew.
"""

import re

import pytest

from tests.pages.snapshots import compare
from tests.web.visitor import Visitor

PAGES = {
    "evening": "/evening",
    "evening-not-judged": "/evening?day=2027-11-06",
    "spots": "/spots",
    "spot": "/spot?name=White Post Gap&day=2027-11-03&year=2027",
    "spot-new": "/spot/new",
    "spot-wishes": "/spot/wishes?name=White Post Gap",
    "spot-skyline": "/spot/skyline?name=White Post Gap",
    "woods": "/woods",
    "wood": "/wood?name=Pinnet Heath",
    "wood-new": "/wood/new",
    "wood-outline": "/wood/outline?name=Pinnet Heath",
    "wood-raster": "/wood/raster?name=Pinnet Heath",
    "sheet": "/sheet",
    "word": "/word",
    "arrive": "/arrive?mist=good&air=still&light=clear",
    "stands": "/stand",
    "survey": "/survey?spot=Plumb and Lean",
    "marks": "/marks?spot=Plumb and Lean",
    "layers": "/layers?spot=Plumb and Lean&range=120",
    "log": "/log",
    "kit": "/kit",
    "settings": "/settings",
    "devices": "/devices",
    "help": "/help",
    "not-found": "/wood?name=No such wood",
}
CHANGING = (
    (re.compile(r'name="form_token" value="[0-9a-f]+"'), 'name="form_token" value="…"'),
    (re.compile(r"/static/([a-z0-9-]+)\.[0-9a-f]{12}\."), r"/static/\1.….")  # by content
    ,
    (re.compile(r"\d\d:\d\d"), "--:--"),  # another processor may round a minute over
    (re.compile(r'(data-readings|data-heights|data-line)="[^"]*"'), r'\1="…"'),
    (re.compile(r"<(table)\b.*?</table>", re.DOTALL), "<table…></table>"),
    (re.compile(r"[^\s\"<>]*/(?:judged|test_|pytest)[^\s\"<>]*"), "…"),  # folders of a test run
)  # fmt: skip


def steady(text: str, *, whole: bool = False) -> str:
    """Leave out what changes from run to run, and the frame that all pages share."""
    for pattern, instead in CHANGING:
        text = pattern.sub(instead, text)
    return text if whole else "<!doctype html>" + text[text.index("<main") : text.index("</main>")]


@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_as_it_was_last_looked_at(valley: Visitor, name: str) -> None:
    compare(f"page-{name}.html", steady(valley.get(PAGES[name]).text, whole=name == "kit"))


def test_the_first_screen_is_as_it_was_last_looked_at(empty: Visitor) -> None:
    compare("page-start.html", steady(empty.get("/start").text))
