"""Spots: names unique in the book, moves between woods, nothing lost on removal."""

from dataclasses import replace

import pytest

from shivelight.basis.errors import BadInputError, NotFoundError
from shivelight.outing.spots import SpotState
from shivelight.store import skylines, spots, woods
from shivelight.store.book import FieldBook
from tests.store.sample import PINNET, PLUMB_AND_LEAN, SALLOWDEN, SKYLINE, WHITE_POST_GAP


def test_a_spot_needs_its_wood(book: FieldBook) -> None:
    woods.add(book, SALLOWDEN)
    with pytest.raises(NotFoundError, match="No wood named 'Pinnet Heath'; the book holds Sall"):
        spots.add(book, WHITE_POST_GAP)
    assert spots.every(book) == ()


def test_a_spot_name_is_taken_in_other_woods_too(valley: FieldBook) -> None:
    with pytest.raises(BadInputError, match="spot named 'White Post Gap', in Pinnet Heath"):
        spots.add(valley, replace(WHITE_POST_GAP, name="white post gap", wood="Sallowden Hanger"))


def test_spots_of_a_wood_come_by_name_and_others_stay_out(valley: FieldBook) -> None:
    another = replace(WHITE_POST_GAP, name="Amber Stile")
    spots.add(valley, another)
    assert spots.of_wood(valley, "pinnet heath") == (another, WHITE_POST_GAP)
    assert spots.of_wood(valley, "Sallowden Hanger") == (PLUMB_AND_LEAN,)
    assert spots.every(valley) == (another, PLUMB_AND_LEAN, WHITE_POST_GAP)


def test_a_spot_can_move_to_another_wood(valley: FieldBook) -> None:
    moved = replace(WHITE_POST_GAP, wood="Sallowden Hanger")
    spots.replace(valley, moved)
    assert spots.of_wood(valley, "Pinnet Heath") == ()
    assert spots.get(valley, "White Post Gap") == moved


def test_replacing_leaves_no_wish_of_the_former(valley: FieldBook) -> None:
    bare = replace(WHITE_POST_GAP, wishes=(), sights=(), mark=PLUMB_AND_LEAN.mark)
    spots.replace(valley, bare)
    assert spots.get(valley, "White Post Gap") == bare
    with valley.reading() as tx:
        left = tx.exec_driver_sql("SELECT count(*) FROM spot_wish").scalar()
    assert left == len(PLUMB_AND_LEAN.wishes)


def test_a_spot_of_which_something_was_logged_stays(valley: FieldBook) -> None:
    with pytest.raises(BadInputError, match=r"not removed: .* 1 log.* Mark it lost instead"):
        spots.remove(valley, "White Post Gap")
    spots.replace(valley, replace(WHITE_POST_GAP, state=SpotState.LOST))
    assert spots.get(valley, "White Post Gap").state is SpotState.LOST


def test_a_skyline_goes_with_its_spot_for_it_can_be_made_again(book: FieldBook) -> None:
    woods.add(book, PINNET)
    spots.add(book, WHITE_POST_GAP)
    skylines.put(book, "White Post Gap", SKYLINE)
    spots.remove(book, "White Post Gap")
    assert spots.every(book) == ()
    assert skylines.every(book) == ()


def test_an_unknown_spot_offers_near_names(valley: FieldBook) -> None:
    with pytest.raises(NotFoundError, match=r"No spot named 'plum and leen'; did you mean 'Plumb"):
        spots.get(valley, "plum and leen")
    with pytest.raises(NotFoundError, match=r"did you mean 'White Post Gap'"):
        spots.get(valley, "white")
