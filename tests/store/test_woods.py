"""Woods: names told apart, near names offered, nothing lost on removal."""

from dataclasses import replace

import pytest

from shivelight.basis.errors import BadInputError, NotFoundError
from shivelight.outing.kept import EveningNote, RasterNote
from shivelight.store import evenings, rasters, spots, woods
from shivelight.store.book import FieldBook
from tests.store.sample import EVENING, PINNET, SALLOWDEN, WHITE_POST_GAP


def test_a_name_is_found_whatever_its_capitals_and_spaces(book: FieldBook) -> None:
    woods.add(book, PINNET)
    assert woods.get(book, "pinnet  HEATH ") == PINNET


@pytest.mark.parametrize("name", ["PINNET HEATH", "pinnet heath", " Pinnet  Heath"])
def test_a_name_is_taken_whatever_its_capitals_and_spaces(book: FieldBook, name: str) -> None:
    woods.add(book, PINNET)
    with pytest.raises(BadInputError, match="already has a wood named 'Pinnet Heath'"):
        woods.add(book, replace(PINNET, name=name))
    assert woods.every(book) == (PINNET,)


def test_letters_with_marks_are_alike_however_written(book: FieldBook) -> None:
    woods.add(book, replace(PINNET, name="Ölmwald"))
    assert woods.get(book, "o\u0308LMWALD").name == "Ölmwald"
    assert woods.get(book, "ölmwald").name == "Ölmwald"


def test_replacing_may_change_the_capitals_of_a_name(book: FieldBook) -> None:
    woods.add(book, replace(PINNET, name="pinnet heath"))
    woods.replace(book, PINNET)
    assert woods.every(book) == (PINNET,)


def test_replacing_leaves_no_part_of_the_former(book: FieldBook) -> None:
    woods.add(book, PINNET)
    bare = replace(PINNET, outline=(), hazards=(), access=())
    woods.replace(book, bare)
    assert woods.get(book, "Pinnet Heath") == bare
    with book.reading() as tx:
        for table in ("wood_outline", "wood_hazard", "wood_access"):
            assert tx.exec_driver_sql(f"SELECT count(*) FROM {table}").scalar() == 0


def test_replacing_an_unknown_wood_offers_near_names(valley: FieldBook) -> None:
    with pytest.raises(
        NotFoundError, match=r"No wood named 'Pinet'; did you mean 'Pinnet Heath'\?"
    ):
        woods.replace(valley, replace(PINNET, name="Pinet"))


def test_woods_come_by_name(valley: FieldBook) -> None:
    assert woods.every(valley) == (PINNET, SALLOWDEN)


def test_a_wood_with_nothing_else_goes_with_its_parts(book: FieldBook) -> None:
    woods.add(book, PINNET)
    woods.remove(book, "pinnet heath")
    assert woods.every(book) == ()
    with book.reading() as tx:
        assert tx.exec_driver_sql("SELECT count(*) FROM wood_access").scalar() == 0


def test_a_wood_with_spots_stays(book: FieldBook) -> None:
    woods.add(book, PINNET)
    spots.add(book, WHITE_POST_GAP)
    with pytest.raises(BadInputError, match=r"was not removed: the book still holds 1 spot of it"):
        woods.remove(book, "Pinnet Heath")
    assert woods.get(book, "Pinnet Heath") == PINNET
    spots.remove(book, "White Post Gap")
    woods.remove(book, "Pinnet Heath")
    assert woods.every(book) == ()


def test_whatever_is_kept_of_a_wood_keeps_it(valley: FieldBook) -> None:
    with pytest.raises(BadInputError) as caught:
        woods.remove(valley, "Pinnet Heath")
    for what in ("1 spot", "1 forecast", "1 judged morning", "1 log", "1 raster", "1 outing"):
        assert what in str(caught.value)
    assert woods.get(valley, "Pinnet Heath") == PINNET


def test_rasters_and_evenings_keep_a_wood(book: FieldBook) -> None:
    woods.add(book, SALLOWDEN)
    rasters.attach(book, SALLOWDEN.name, RasterNote(kind="ground", path="a.tif"))
    evenings.add(book, EveningNote(wood=SALLOWDEN.name, typed_utc=EVENING))
    with pytest.raises(BadInputError, match=r"1 evening's values, 1 raster"):
        woods.remove(book, SALLOWDEN.name)


def test_an_unknown_name_in_an_empty_book_says_that_it_is_empty(book: FieldBook) -> None:
    with pytest.raises(NotFoundError, match="No wood named 'Pinnet'; the book holds none yet"):
        woods.get(book, "Pinnet")
