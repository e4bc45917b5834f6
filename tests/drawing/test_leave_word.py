"""The leave-word card: today's area, both times, the parking in full, what to do."""

import io

import pytest
from pypdf import PdfReader

from shivelight.basis.places import Position
from shivelight.drawing.leave_word import (
    TEXT_WIDTH,
    leave_word_html,
    leave_word_pdf,
    leave_word_text,
    position_words,
)
from shivelight.outing.sheet import LeaveWordCard
from shivelight.outing.sheet_context import leave_word_card
from tests.drawing import wennick


def card() -> LeaveWordCard:
    return leave_word_card(
        wennick.MORNING,
        (wennick.WOODS, wennick.SPOTS),
        word=wennick.WORD,
        route=("heath gate, then the belt's north side to the white post",),
        grid_references={"Pinnet Heath": "invented 123 456"},
    )


MUST_SAY = (
    "Orla Penwarne",
    "green estate car",
    "53.00120° N, 5.10340° W",
    "invented 123 456",
    "White Post Gap",
    "11:00",
    "13:00",
    "heath gate",
    "999, 112 or the local number",
    "GMT",
    "Clocks went back on Sunday.",
)
MUST_NOT_SAY = ("Plumb", "Two Waters", "Old Chair", "Sallowden", "Ottermire", "Hagbarrow")


def test_text_says_all_that_helps_and_nothing_of_other_woods() -> None:
    text = leave_word_text(card())
    flat = " ".join(text.split())
    assert all(words in flat for words in MUST_SAY)
    assert not any(words in flat for words in MUST_NOT_SAY)
    assert max(map(len, text.splitlines())) <= TEXT_WIDTH


def test_page_says_the_same_and_needs_no_network() -> None:
    html = leave_word_html(card())
    assert all(words in html for words in MUST_SAY)
    assert not any(words in html for words in MUST_NOT_SAY)
    assert "http" not in html


def test_pdf_is_one_a5_with_everything_on_it() -> None:
    pdf = PdfReader(io.BytesIO(leave_word_pdf(card())))
    assert len(pdf.pages) == 1
    box = pdf.pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx((419.5, 595.3), abs=0.5)
    flat = " ".join(pdf.pages[0].extract_text().split())
    assert all(words in flat for words in MUST_SAY)


def test_kept_off_places_are_counted() -> None:
    one = leave_word_card(wennick.MORNING, (wennick.WOODS, wennick.SPOTS), word=wennick.WORD)
    assert "kept off" not in leave_word_text(one)
    import dataclasses

    text = leave_word_text(dataclasses.replace(one, kept_off=1))
    assert "one place of today is kept off this card" in text


def test_positions_south_and_past_the_date_line() -> None:
    there = Position(latitude_deg=-45.5, longitude_deg=190.25)
    assert position_words(there) == "45.50000° S, 169.75000° W"
