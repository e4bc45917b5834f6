"""Pages of the printed sheet: nothing cut, nothing lost, and it says so when it runs on."""

from hypothesis import given, settings
from hypothesis import strategies as st

from shivelight.drawing.faces import (
    HEIGHT_PX,
    Block,
    Face,
    boxes,
    fine_lines,
    head,
    paged,
    state_row,
    time_row,
    title,
)


def block(height_px: float, *, keep: bool = False) -> Block:
    return Block(kind="fine", words=(f"{height_px}",), height_px=height_px, keep=keep)


def test_what_fits_stays_on_one_page() -> None:
    faces = tuple(Face(place=place, blocks=(block(100.0),)) for place in ("times", "found"))
    assert paged(faces) == (faces,)


def test_the_lowest_lines_go_to_the_next_page_in_full_under_the_title() -> None:
    long = Face(place="times", blocks=(title("k", "Day"), *(block(60.0) for _ in range(12))))
    pages = paged((long, Face(place="found", blocks=(block(10.0),))))
    assert len(pages) == 2
    assert pages[0][0].runs_on
    assert [face.place for face in pages[1]] == ["times"]
    assert pages[1][0].blocks[0].kind == "title"
    assert not pages[1][0].runs_on


def test_a_heading_is_not_left_alone_at_a_foot() -> None:
    fill = HEIGHT_PX - 18.0 - 25.0
    pages = paged((Face(place="ifnot", blocks=(block(fill), head("Layers"), block(40.0))),))
    assert [one.kind for one in pages[0][0].blocks] == ["fine"]
    assert [one.kind for one in pages[1][0].blocks] == ["head", "fine"]


@given(st.lists(st.tuples(st.floats(5.0, 300.0), st.booleans()), min_size=1, max_size=30))
def test_every_block_is_printed_once_and_no_face_is_overfull(
    sizes: list[tuple[float, bool]],
) -> None:
    blocks = tuple(
        Block(kind="fine", words=(str(number),), height_px=tall, keep=keep)
        for number, (tall, keep) in enumerate(sizes)
    )
    pages = paged((Face(place="times", blocks=blocks),))
    printed = [one.words for faces in pages for face in faces for one in face.blocks]
    assert printed == [one.words for one in blocks]
    for faces in pages:
        for face in faces:
            assert sum(one.height_px for one in face.blocks) <= HEIGHT_PX


def test_longer_words_take_more_height() -> None:
    assert time_row("07:38", "sun").height_px < time_row("07:38", "sun " * 30).height_px
    assert state_row("thick", "wait").height_px < state_row("thick", "wait " * 30).height_px
    assert len(fine_lines("one two " * 40)) > 3


def test_the_word_that_opens_a_caution_is_bold() -> None:
    only = fine_lines("Limbs: look up. Dark: a torch, at 06:10: and so on.")[0]
    assert only.words == ("", "Limbs:", " look up. ", "Dark:", " a torch, at 06:10: and so on.")


def test_boxes_fill_a_row_before_the_next() -> None:
    assert boxes("a", "b").height_px < boxes(*["found it"] * 9).height_px


@settings(max_examples=25)
@given(st.lists(st.integers(1, 400), min_size=1, max_size=6))
def test_sentences_of_any_length_end_and_keep_every_word(counts: list[int]) -> None:
    rows = tuple(state_row("thick", "Wiltingham-on-the-Water " * count) for count in counts)
    pages = paged((Face(place="ifnot", blocks=(title("if not", "When"), *rows)),))
    printed = [one.words[-1] for faces in pages for face in faces for one in face.blocks]
    assert " ".join(printed).count("Wiltingham") == sum(counts)
    for faces in pages:
        for face in faces:
            assert sum(one.height_px for one in face.blocks) <= HEIGHT_PX
