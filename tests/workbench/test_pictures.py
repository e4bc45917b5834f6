"""Pictures of spots: kept as they are, shown without their facts, turned into drafts of spots."""

import hashlib
import shutil
import stat
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from shivelight.basis.errors import (
    BadInputError,
    MissingDataError,
    NotFoundError,
    UnreadableFileError,
    UnwritableError,
)
from shivelight.basis.places import Position, destination
from shivelight.outing.spots import Spot
from shivelight.workbench.bench import Workbench
from shivelight.workbench.demo_valley import valley
from shivelight.workbench.keeping import write_whole
from shivelight.workbench.settings import Settings
from tests.intake.photographs import CAMERA, FIX, photo, saved, wood_picture
from tests.workbench.conftest import at

IN_PINNET = {spot.name: spot.position for spot in valley().spots}["White Post Gap"]
SNAP = photo(main={0x0112: 6}, camera=CAMERA, fix=FIX, size_px=(640, 480))


def fix_at(place: Position, **more: Any) -> dict[int, Any]:
    """Tags of a fix at a place west of Greenwich, to a hundredth of a second."""
    return {
        **FIX,
        2: [(round(place.latitude_deg * 360_000), 360_000), (0, 1), (0, 1)],
        4: [(round(-place.longitude_deg * 360_000), 360_000), (0, 1), (0, 1)],
        **{int(tag): value for tag, value in more.items()},
    }


def folder(bench: Workbench) -> Path:
    return bench.book.path.with_name("empty-pictures")


def test_facts_are_told_and_nothing_is_kept(spots: Workbench) -> None:
    assert spots.photo_facts(SNAP).direction_deg == 118.5
    assert not folder(spots).exists()


def test_a_photo_is_kept_byte_for_byte_under_its_fingerprint(spots: Workbench) -> None:
    kept = spots.keep_picture(SNAP, spot="white post gap", caption="from the bank")
    sha256 = hashlib.sha256(SNAP).hexdigest()
    assert kept.file_name == f"{sha256}.jpg"
    file = folder(spots) / kept.file_name
    assert file.read_bytes() == SNAP
    assert stat.S_IMODE(file.stat().st_mode) == 0o600  # a place is in it
    assert stat.S_IMODE(folder(spots).stat().st_mode) == 0o700
    assert (kept.spot, kept.caption, kept.byte_count) == (
        "White Post Gap", "from the bank", len(SNAP),
    )  # fmt: skip
    assert (kept.width_px, kept.height_px, kept.kept_utc) == (480, 640, at("2027-11-02T21:40"))
    assert (kept.direction_deg, kept.direction_is_magnetic) == (118.5, True)
    assert spots.picture(kept.id) == kept
    assert spots.pictures_of("White Post Gap") == (kept,)
    assert spots.pictures_of("Root Stair") == ()


def test_the_same_bytes_again_are_the_same_picture(spots: Workbench) -> None:
    first = spots.keep_picture(SNAP)
    files = sorted(folder(spots).iterdir())
    assert spots.keep_picture(SNAP) == first
    given = spots.keep_picture(SNAP, spot="Root Stair")  # it belonged to none
    assert (given.id, given.spot) == (first.id, "Root Stair")
    assert spots.keep_picture(SNAP, spot="White Post Gap") == given  # it stays where it is
    assert sorted(folder(spots).iterdir()) == files


def test_a_lost_file_comes_back_with_the_photo(spots: Workbench) -> None:
    kept = spots.keep_picture(SNAP)
    shutil.rmtree(folder(spots))
    with pytest.raises(MissingDataError, match=r"not in empty-pictures; copy that folder beside"):
        spots.picture_bytes(kept.id, 320)
    assert spots.keep_picture(SNAP) == kept
    assert spots.picture_bytes(kept.id, 320)


@pytest.mark.parametrize("side_px", [320, 960, 1600])
def test_a_copy_is_upright_without_facts_and_made_once(spots: Workbench, side_px: int) -> None:
    large = photo(main={0x0112: 6}, camera=CAMERA, fix=FIX, size_px=(2000, 1500))
    kept = spots.keep_picture(large)
    data = spots.picture_bytes(kept.id, side_px)
    image = Image.open(BytesIO(data))
    assert image.size == (side_px * 3 // 4, side_px)
    assert dict(image.getexif()) == {}
    made = folder(spots) / f"{kept.sha256}-{side_px}.jpg"
    assert made.read_bytes() == data
    made.write_bytes(b"as made before")
    assert spots.picture_bytes(kept.id, side_px) == b"as made before"
    assert (folder(spots) / kept.file_name).read_bytes() == large


def test_only_three_sizes_are_shown(spots: Workbench) -> None:
    kept = spots.keep_picture(SNAP)
    for side_px in (0, 321, 10_000, -320):
        with pytest.raises(BadInputError, match=f"320, 960, 1600 px long, not {side_px}"):
            spots.picture_bytes(kept.id, side_px)
    with pytest.raises(NotFoundError, match="no picture of number 99"):
        spots.picture_bytes(99, 320)


def test_a_file_that_was_changed_is_told(spots: Workbench) -> None:
    kept = spots.keep_picture(SNAP)
    (folder(spots) / kept.file_name).write_bytes(saved(wood_picture()))
    with pytest.raises(UnreadableFileError, match="has changed since it was kept"):
        spots.picture_bytes(kept.id, 960)


def test_a_picture_is_given_and_forgotten_and_its_file_stays(spots: Workbench) -> None:
    kept = spots.keep_picture(SNAP)
    assert spots.pictures_of_no_spot() == (kept,)
    assert spots.give_picture(kept.id, "root stair").spot == "Root Stair"
    assert spots.pictures_of_no_spot() == ()
    with pytest.raises(NotFoundError, match="No spot named 'Rut Stair'"):
        spots.give_picture(kept.id, "Rut Stair")
    assert spots.forget_picture(kept.id) == kept
    assert spots.pictures_of("Root Stair") == ()
    assert (folder(spots) / kept.file_name).read_bytes() == SNAP


def test_what_cannot_be_kept_leaves_nothing(spots: Workbench) -> None:
    with pytest.raises(NotFoundError, match="No spot named"):
        spots.keep_picture(SNAP, spot="Rut Stair")
    with pytest.raises(UnreadableFileError, match="cut short or damaged"):
        spots.keep_picture(SNAP[: len(SNAP) * 2 // 3])
    with pytest.raises(UnreadableFileError, match="no photograph"):
        spots.keep_picture(b"a text")
    assert not folder(spots).exists()
    assert spots.pictures_of_no_spot() == ()


def test_a_folder_that_cannot_be_made_is_told(spots: Workbench) -> None:
    folder(spots).write_text("a file is in the way")
    with pytest.raises(UnwritableError, match="empty-pictures cannot be"):
        spots.keep_picture(SNAP)
    assert spots.pictures_of_no_spot() == ()


def test_a_photo_in_a_wood_becomes_a_draft_of_a_spot(spots: Workbench) -> None:
    draft = spots.spot_from_photo(photo(camera=CAMERA, fix=fix_at(IN_PINNET)))
    assert draft.wood == "Pinnet Heath"
    assert draft.position is not None
    assert draft.position.latitude_deg == pytest.approx(IN_PINNET.latitude_deg, abs=3e-6)
    assert draft.position.longitude_deg == pytest.approx(IN_PINNET.longitude_deg, abs=3e-6)
    assert (draft.focal_length_mm, draft.taken) == (4.25, spots.picture(draft.picture.id).taken)
    assert draft.picture.spot == ""
    text = " ".join(draft.sentences)
    assert "good to 6 m, but under trees a phone's fix is commonly 5 to 11 m out" in text
    assert "guess" not in text
    assert draft.view_azimuth_deg is not None
    assert draft.sensor_width_mm is not None
    spot = Spot(  # what is suggested makes a spot
        name="Bank",
        wood=draft.wood,
        position=draft.position,
        view_azimuth_deg=draft.view_azimuth_deg,
        focal_length_mm=draft.focal_length_mm or 0.0,
        sensor_width_mm=draft.sensor_width_mm,
    )
    assert spots.add_spot(spot).name == "Bank"
    assert spots.give_picture(draft.picture.id, "Bank").spot == "Bank"


def test_a_magnetic_bearing_is_turned_to_true_north_and_a_true_one_is_left(
    spots: Workbench,
) -> None:
    from pygeomag import GeoMag  # the world magnetic model, asked apart from our own code

    magnetic = spots.spot_from_photo(photo(camera=CAMERA, fix=fix_at(IN_PINNET)))
    east_deg = (
        GeoMag(coefficients_file="wmm/WMM_2025.COF")
        .calculate(
            glat=IN_PINNET.latitude_deg, glon=IN_PINNET.longitude_deg, alt=0, time=2027 + 296 / 365
        )
        .d
    )
    assert abs(east_deg) > 0.2  # so that the two norths can be told apart
    assert magnetic.view_azimuth_deg == pytest.approx(118.5 + east_deg, abs=0.02)
    true = spots.spot_from_photo(photo(camera=CAMERA, fix={**fix_at(IN_PINNET), 16: "T"}))
    assert true.view_azimuth_deg == 118.5


def test_a_bearing_that_cannot_be_turned_is_told(spots: Workbench) -> None:
    old = {**CAMERA, 0x9003: "2016:07:16 10:03:04"}
    draft = spots.spot_from_photo(photo(camera=old, fix=fix_at(IN_PINNET)))
    assert draft.view_azimuth_deg is None
    assert any("118°, is from magnetic north and cannot be turned" in s for s in draft.sentences)
    nowhere = spots.spot_from_photo(photo(camera=CAMERA, fix={16: "M", 17: (90, 1)}))
    assert nowhere.view_azimuth_deg is None
    assert any("without a place it cannot" in s for s in nowhere.sentences)
    either = spots.spot_from_photo(photo(camera=CAMERA, fix={**fix_at(IN_PINNET), 16: "?"}))
    assert either.view_azimuth_deg is None
    assert any("true or magnetic north" in s for s in either.sentences)


def test_the_wood_is_guessed_from_parking_within_three_kilometres(spots: Workbench) -> None:
    parking = {wood.name: wood.parking for wood in valley().woods}["Ottermire Carr"]
    near = destination(parking, azimuth_deg=270.0, distance_m=500.0)
    draft = spots.spot_from_photo(photo(fix=fix_at(near)))
    assert draft.wood == "Ottermire Carr"
    assert any("is a guess: Ottermire Carr" in s and "500 m away" in s for s in draft.sentences)
    assert any("outside its outline" in s for s in draft.sentences)
    far = destination(parking, azimuth_deg=350.0, distance_m=9000.0)
    lost = spots.spot_from_photo(photo(fix=fix_at(far)))
    assert lost.wood == ""
    assert any("in none of the woods in the book; Sallowden Hanger is nearest" in s
               for s in lost.sentences)  # fmt: skip


def test_a_photo_that_tells_nothing_still_is_a_draft(empty: Workbench) -> None:
    draft = empty.spot_from_photo(saved(wood_picture(), "PNG"))
    assert (draft.wood, draft.position, draft.view_azimuth_deg, draft.taken) == (
        "", None, None, None,
    )  # fmt: skip
    assert any("holds no position" in s for s in draft.sentences)
    assert not any("under trees" in s for s in draft.sentences)
    placed = empty.spot_from_photo(photo(camera=CAMERA, fix=FIX))
    assert placed.wood == ""
    assert any("holds no wood yet" in s for s in placed.sentences)


def test_pictures_come_along_when_the_folder_is_copied(spots: Workbench, tmp_path: Path) -> None:
    kept = spots.keep_picture(SNAP, spot="Root Stair")
    out = tmp_path / "out.json"
    spots.book_export(out)
    settings = Settings(book=str(tmp_path / "other.sqlite"))
    with Workbench.open(settings, create=True, now=at("2027-11-02T21:40")) as other:
        other.book_import(out)
        assert other.pictures_of("Root Stair") == (kept,)
        with pytest.raises(MissingDataError, match="not in other-pictures"):
            other.picture_bytes(kept.id, 320)
        write_whole(tmp_path / "other-pictures" / kept.file_name, SNAP)
        assert other.picture_bytes(kept.id, 320) == spots.picture_bytes(kept.id, 320)
