"""Where to stand and how to find the mark, on the page and on paper."""

import re
from dataclasses import replace

from shivelight.drawing.faces import HEIGHT_PX, paged
from shivelight.drawing.sheet import sheet_html, sheet_print_html
from shivelight.drawing.sheet_faces import sheet_faces
from shivelight.drawing.sheet_view import sheet_view
from shivelight.outing.sheet import SheetContext
from shivelight.outing.sheet_context import sheet_context
from tests.drawing import wennick
from tests.outing.test_sheet_stand import NOTED, STAND
from tests.pages.snapshots import compare

PLACES = (wennick.WOODS, wennick.SPOTS)


def stood(**more: str) -> SheetContext:
    return sheet_context(
        wennick.MORNING,
        PLACES,
        arrival=wennick.ARRIVAL,
        word=wennick.WORD,
        anchors=(NOTED,),
        stands=(replace(STAND, **more),),  # type: ignore[arg-type]
    )


def names_of(html: str) -> list[str]:
    return re.findall(r'<svg [^>]*aria-label="([^"]*)"', html)


def test_the_page_says_where_to_stand_and_draws_the_frame_and_the_mark() -> None:
    html = sheet_html(stood())
    screen = html[html.index('<section id="spot"') : html.index('<section id="ifnot"')]
    assert "Go 65 cm to the right." in screen
    assert "Watch: Plumb and Lean." in screen
    assert names_of(screen).count("The frame from here") == 2  # wide and narrow
    assert names_of(screen).count("Find it again") == 2
    assert '<th scope="row">Plumb | Lean</th><td>0.37°</td>' in screen
    compare("sheet-with-stand.html", html)


def test_without_survey_or_anchors_nothing_is_added() -> None:
    plain = sheet_context(wennick.MORNING, PLACES, arrival=wennick.ARRIVAL, word=wennick.WORD)
    html = sheet_html(plain)
    assert "Where to stand" not in html
    assert "Stand, from the mark" not in html
    assert not {"The frame from here", "Find it again"} & set(names_of(html))
    assert (sheet_view(plain).stand, sheet_view(plain).mark) == (None, None)


def test_paper_carries_the_line_and_no_page_more_for_the_drawings() -> None:
    context = stood()
    laid = paged(sheet_faces(context, zone="GMT"))
    assert "Go 65 cm to the right." in sheet_print_html(context)
    assert context.first is not None
    bare = replace(context.first.stand, survey=None, camera=None)  # type: ignore[type-var]
    undrawn = replace(context, first=replace(context.first, stand=bare, mark=None))
    assert len(laid) == len(paged(sheet_faces(undrawn, zone="GMT")))
    for faces in laid:
        for one in faces:
            assert sum(block.height_px for block in one.blocks) <= HEIGHT_PX


def test_paper_draws_the_frame_where_a_second_page_is_wanted_anyway() -> None:
    cautions = tuple(f"Caution {number}: mind this one, and the next." for number in range(40))
    context = replace(stood(), cautions=cautions)
    laid = paged(sheet_faces(context, zone="GMT"))
    assert len(laid) == 2
    html = sheet_print_html(context)
    assert "<h3>The frame from the stand</h3>" in html
    assert names_of(html).count("The frame from here") == 1


def test_another_spot_that_was_taken_says_on_page_and_paper_where_to_stand() -> None:
    other = replace(STAND, spot="Plumb and Lean")
    context = sheet_context(wennick.MORNING, PLACES, stands=(other,))
    assert context.first is not None
    assert context.first.stand is None
    html = sheet_html(context)
    assert "<p>From the mark: Go 65 cm to the right.</p>" in html
    laid = sheet_faces(context, zone="GMT")
    fine = ["".join(block.words) for block in laid[2].blocks if block.kind == "fine"]
    assert "Plumb and Lean: Go 65 cm to the right." in fine


def test_words_of_the_stand_are_escaped() -> None:
    html = sheet_html(stood(line="Go <b>right</b>."))
    assert "<b>right</b>" not in html
