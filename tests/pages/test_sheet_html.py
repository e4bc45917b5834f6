"""The sheet as a file: self-contained, small, named parts, no place that must stay quiet."""

import dataclasses
import json
import re
from html.parser import HTMLParser

import pytest

from shivelight.drawing.sheet import sheet_html
from shivelight.drawing.sheet_data import arrival_data, seen_words
from shivelight.outing.arrive import AIR_TAPS, LIGHT_TAPS, MIST_TAPS
from shivelight.outing.sheet import OnArrival, SeenLifting, SheetSpot
from shivelight.outing.sheet_context import sheet_context
from tests.drawing import wennick

HTML = sheet_html(wennick.context())


class Reader(HTMLParser):
    """Collects tags, their attributes and headings."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))


def tags(html: str = HTML) -> list[tuple[str, dict[str, str | None]]]:
    reader = Reader()
    reader.feed(html)
    return reader.tags


def test_nothing_is_asked_of_the_network() -> None:
    # The only address that may stand in it is the name of the SVG language itself.
    assert set(re.findall(r"https?://[^\s\"'<>)]+", HTML)) <= {"http://www.w3.org/2000/svg"}
    for tag, attributes in tags():
        assert tag not in {"link", "img", "iframe", "object", "embed", "audio", "video"}
        for name in ("src", "srcset", "action", "ping", "background", "poster"):
            assert name not in attributes
        assert (attributes.get("href") or "#").startswith("#")
    assert all(url.startswith("data:font/") for url in re.findall(r"url\(([^)#]+)\)", HTML))
    assert "@import" not in HTML


def test_it_is_small_enough_to_send() -> None:
    assert len(HTML.encode()) < 300_000


def test_the_theme_is_there_before_the_first_paint() -> None:
    assert '<html lang="en-GB" data-theme="dim"' in HTML
    assert HTML.index("data-theme=dim") < HTML.index("<body>")
    assert HTML.index("shivelight-theme") < HTML.index("<body>")
    paper = sheet_html(dataclasses.replace(wennick.context(), theme="paper"))
    assert '<html lang="en-GB" data-theme="paper"' in paper


def test_storage_is_never_touched_unguarded() -> None:
    for line in HTML.splitlines():
        if "localStorage" in line:
            assert "try" in line


def test_figures_are_images_with_a_title_and_a_table_follows() -> None:
    figures = [attributes for tag, attributes in tags() if tag == "svg" and "role" in attributes]
    assert len(figures) >= 3
    assert all(one["role"] == "img" and one["aria-label"] for one in figures)
    assert HTML.count("<title>Morning strip") == len(figures)
    assert "The same as a table" in HTML
    assert HTML.count('<th scope="row">0') == 13


def test_parts_are_labelled() -> None:
    found = tags()
    ids = [attributes["id"] for _, attributes in found if attributes.get("id")]
    assert len(ids) == len(set(ids))
    for _, attributes in found:
        label = attributes.get("aria-labelledby")
        assert label is None or label in ids
    assert sum(tag == "h1" for tag, _ in found) == 1
    assert sum(tag == "fieldset" for tag, _ in found) == sum(tag == "legend" for tag, _ in found)
    for target in (attributes["href"] for tag, attributes in found if tag == "a"):
        assert target is not None
        assert target[1:] in ids


def test_it_says_when_it_was_made_and_from_what() -> None:
    assert "Made Tuesday 2 November at 21:40. Forecast: values typed in the evening" in HTML
    assert "under an hour old when judged" in HTML


def test_quiet_spots_and_positions_are_nowhere_in_the_file() -> None:
    assert "Old Chair" not in HTML
    assert "One spot is kept off this sheet." in HTML
    assert "53.0012" not in HTML
    assert "5.1034" not in HTML


def test_no_bare_percentage_and_no_permission() -> None:
    said = re.sub(r"<(script|style).*?</\1>", "", HTML, flags=re.DOTALL)
    said = re.sub(r"<[^>]+>", " ", said)
    assert "%" not in said
    assert not re.search(r"\b(safe|allowed|permitted)\b", said, re.IGNORECASE)


def test_words_from_the_book_are_escaped_everywhere() -> None:
    nasty = '</script><img src=x onerror="1">&'
    first = dataclasses.replace(wennick.FIRST, spot=nasty, if_not=nasty)
    rows = tuple(
        dataclasses.replace(
            row,
            choices=tuple(dataclasses.replace(one, spot=nasty, why=nasty) for one in row.choices),
        )
        for row in wennick.ROWS
    )
    context = dataclasses.replace(
        wennick.context(),
        first=SheetSpot(outlook=first),
        arrival=OnArrival(rows=rows, seen=wennick.ARRIVAL.seen),
        answer=nasty,
        cautions=(nasty,),
    )
    html = sheet_html(context)
    assert "<img" not in html
    assert html.count("</script>") == HTML.count("</script>")


def test_all_answers_of_the_three_taps_are_in_the_file() -> None:
    data = json.loads(arrival_data(wennick.context()))
    assert len(data["rows"]) == len(MIST_TAPS) * len(AIR_TAPS) * len(LIGHT_TAPS)
    spot, wood, walk_min, why, span, until_ms = data["rows"]["good still clear"][0]
    assert data["strings"][spot] == "White Post Gap"
    assert data["strings"][wood] == "Pinnet Heath"
    assert data["strings"][why] == "sun through good mist"
    assert data["strings"][span] == "07:38–08:00"
    assert walk_min == 0
    assert until_ms == 1_825_228_800_000


@pytest.mark.parametrize(
    ("seen", "clocks", "expected"),
    [
        ("none", ("07:20",) * 3, "None at sunrise: nothing has to lift."),
        (
            "good",
            ("07:45", "08:10", "09:05"),
            "If it is good at sunrise: gone by 08:10 in 5 of 10 (07:45 in 1, 09:05 in 9).",
        ),
        (
            "thick",
            ("08:10", "09:15"),
            "If it is thick at sunrise: gone by 09:15 in 5 of 10 (08:10 in 1); "
            "it may sit all morning.",
        ),
        ("thick", (), "If it is thick at sunrise, it may sit all morning."),
        (
            "thin",
            ("08:10",),
            "If it is thin at sunrise: gone by 08:10 in 1 of 10, else it may sit.",
        ),
    ],
)
def test_lifting_after_what_is_seen(seen: str, clocks: tuple[str, ...], expected: str) -> None:
    times = tuple(wennick.at(clock) for clock in clocks)
    assert seen_words(SeenLifting(seen=seen, times=times), wennick.ZONE) == expected


def test_a_sheet_without_spots_or_taps_is_still_a_sheet() -> None:
    bare = dataclasses.replace(
        wennick.context(),
        first=None,
        others=(),
        arrival=OnArrival(),
        found_lines=(),
        layers=(),
        times=(),
        answer="Stay in bed.",
        go=False,
    )
    html = sheet_html(bare)
    assert "Stay in bed." in html
    assert 'id="taps"' not in html
    assert 'href="#spot"' not in html


def test_a_long_list_of_spots_keeps_the_file_small_and_one_line_each() -> None:
    spots = tuple(
        dataclasses.replace(wennick.FIRST, spot=f"Spot {number}", wood=f"Wood {number % 8}")
        for number in range(40)
    )
    morning = dataclasses.replace(wennick.MORNING, spots=spots)
    context = sheet_context(morning, ((), ()), arrival=wennick.ARRIVAL, word=wennick.WORD)
    html = sheet_html(context)
    assert len(html.encode()) < 300_000
    assert all(f"Spot {number}<" in html or f"Spot {number}," in html for number in range(40))
    assert html.count("once it was over by 07:50") == 40


def test_each_wish_and_the_moon_are_said_without_a_percentage() -> None:
    assert "mist 120 to 1000 m</th><td>must</td><td>about 4 in 10" in HTML
    assert "The Moon is 2 tenths lit and up at dawn." in HTML
