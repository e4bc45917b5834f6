"""Rows of pictures, devices and season notes: what belongs to what, and what is refused."""

from dataclasses import replace

import numpy as np
import pytest

from shivelight.basis.errors import BadInputError, NotFoundError, OutOfRangeError, ShivelightError
from shivelight.outing.devices import Device
from shivelight.outing.pictures import Picture
from shivelight.outing.season_notes import SeasonNote
from shivelight.store import devices, pictures, season_notes, spots, woods
from shivelight.store.book import FieldBook
from tests.store.sample import EVENING, LOOSE_PICTURE, PICTURE, SEASON_NOTES

PHONE = Device(name="phone", token_sha256="ab" * 32, paired_utc=EVENING, last_seen_utc=EVENING)


def test_the_same_file_again_gives_the_row_that_is_there(valley: FieldBook) -> None:
    before = pictures.every(valley)
    again = replace(PICTURE, id=0, spot="Plumb and Lean", caption="other")
    assert pictures.add(valley, again) == before[0]
    assert pictures.every(valley) == before


def test_a_picture_is_given_to_a_spot_and_taken_from_it(valley: FieldBook) -> None:
    loose = pictures.of_spot(valley, "")
    assert [one.sha256 for one in loose] == [LOOSE_PICTURE.sha256]
    given = pictures.give_to(valley, loose[0].id, "plumb and lean")
    assert given.spot == "Plumb and Lean"
    assert pictures.of_spot(valley, "Plumb and Lean") == (given,)
    assert pictures.of_spot(valley, "") == ()
    assert pictures.give_to(valley, given.id, "") == loose[0]


def test_what_is_not_there_is_told(valley: FieldBook) -> None:
    with pytest.raises(NotFoundError, match="holds no picture of number 99"):
        pictures.get(valley, 99)
    with pytest.raises(NotFoundError, match="No spot named 'Root Stair'"):
        pictures.give_to(valley, 1, "Root Stair")
    with pytest.raises(NotFoundError, match="No device of number 4 is paired"):
        devices.remove(valley, 4)
    with pytest.raises(
        NotFoundError, match="Pinnet Heath has no season note 'bare' of 2027-10-20"
    ):
        season_notes.remove(
            valley, "Pinnet Heath", SeasonNote(day=SEASON_NOTES[0].day, stage="bare")
        )


def test_a_spot_with_a_picture_and_a_wood_with_a_note_are_not_removed(book: FieldBook) -> None:
    from tests.store.sample import PINNET, WHITE_POST_GAP

    woods.add(book, PINNET)
    spots.add(book, WHITE_POST_GAP)
    kept = pictures.add(book, PICTURE)
    with pytest.raises(BadInputError, match="still holds 1 picture of it"):
        spots.remove(book, "White Post Gap")
    pictures.give_to(book, kept.id, "")
    spots.remove(book, "White Post Gap")
    season_notes.add(book, "Pinnet Heath", SEASON_NOTES[1])
    with pytest.raises(BadInputError, match="still holds 1 season note of it"):
        woods.remove(book, "Pinnet Heath")


def test_a_device_is_kept_seen_and_forgotten(book: FieldBook) -> None:
    kept = devices.add(book, PHONE)
    assert devices.every(book) == (kept,)
    assert devices.with_token(book, "ab" * 32) == kept
    assert devices.with_token(book, "cd" * 32) is None
    later = EVENING + np.timedelta64(5, "m")
    devices.saw(book, kept.id, later)
    assert devices.every(book) == (replace(kept, last_seen_utc=later),)
    with pytest.raises(BadInputError, match="paired already"):
        devices.add(book, PHONE)
    devices.remove(book, kept.id)
    assert devices.every(book) == ()


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"sha256": "5A" * 32}, "64 hexadecimal digits"),
        ({"sha256": "5a" * 32 + "\n"}, "64 hexadecimal digits"),
        ({"file_name": "wood.jpg"}, "named by its fingerprint"),
        ({"file_name": "5a" * 32 + ".jpg/../x"}, "named by its fingerprint"),
        ({"byte_count": 0}, "size of the file is 0 bytes"),
        ({"width_px": 0}, "width of the picture is 0 px"),
        ({"latitude_deg": 91.0}, "latitude is 91 °"),
        ({"direction_deg": float("nan")}, "direction is nan °"),
        ({"id": -1}, "number of the picture is -1"),
    ],
)
def test_a_picture_that_makes_no_sense_is_refused(
    change: dict[str, object], sentence: str
) -> None:
    fields = {name: getattr(PICTURE, name) for name in Picture.__slots__}
    with pytest.raises(ShivelightError, match=sentence):
        Picture(**{**fields, **change})


def test_a_season_note_says_something() -> None:
    with pytest.raises(BadInputError, match="needs a leaf stage or some words"):
        SeasonNote(day=SEASON_NOTES[0].day, words="  ")
    with pytest.raises(BadInputError, match="64 hexadecimal digits; pair it again"):
        replace(PHONE, token_sha256="secret")
    with pytest.raises(OutOfRangeError):
        replace(PICTURE, taken_offset_min=2000)
