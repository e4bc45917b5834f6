"""Notes on the seasons of a wood."""

import datetime as dt

import pytest

from shivelight.basis.errors import BadInputError, NotFoundError
from shivelight.outing.season_notes import SeasonNote
from shivelight.workbench.bench import Workbench

TURNING = SeasonNote(day=dt.date(2027, 10, 20), stage="turning", words="birch gold")
BELLS = SeasonNote(day=dt.date(2027, 4, 24), words="first bells")


def test_notes_come_back_by_day_and_once(spots: Workbench) -> None:
    assert spots.note_season("Pinnet Heath", TURNING) == (TURNING,)
    assert spots.note_season("pinnet heath", BELLS) == (BELLS, TURNING)
    assert spots.note_season("Pinnet Heath", BELLS) == (BELLS, TURNING)
    assert spots.season_notes("Sallowden Hanger") == ()


def test_a_note_is_dropped(spots: Workbench) -> None:
    spots.note_season("Pinnet Heath", TURNING)
    spots.note_season("Pinnet Heath", BELLS)
    assert spots.drop_season_note("Pinnet Heath", TURNING) == (BELLS,)
    with pytest.raises(NotFoundError, match="has no season note 'turning birch gold'"):
        spots.drop_season_note("Pinnet Heath", TURNING)


def test_a_wood_that_is_not_there_is_told(spots: Workbench) -> None:
    with pytest.raises(NotFoundError, match="No wood named 'Pinnet Heeth'; did you mean"):
        spots.note_season("Pinnet Heeth", BELLS)


def test_what_is_still_to_come_is_not_noted(spots: Workbench) -> None:
    today = SeasonNote(day=dt.date(2027, 11, 2), stage="drop")
    assert spots.note_season("Pinnet Heath", today) == (today,)
    with pytest.raises(BadInputError, match="2027-11-03 has not come yet"):
        spots.note_season("Pinnet Heath", SeasonNote(day=dt.date(2027, 11, 3), stage="bare"))
