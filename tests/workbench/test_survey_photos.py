"""Photographs measured as a person would: files and marks in, trunks with errors out."""

import math
from dataclasses import replace
from io import BytesIO
from typing import cast

import numpy as np
import pytest
from PIL import Image

from shivelight.basis.errors import BadInputError, MissingDataError
from shivelight.scene.elements import Doubt, Trunk, trunk_at
from shivelight.scene.photo_marks import TrunkMark
from shivelight.store.book import FieldBook
from shivelight.workbench.settings import Settings
from shivelight.workbench.survey_given import PhotoGiven
from shivelight.workbench.survey_photos import SurveyPhotosDesk
from tests.renders import Render, step_m

A, B = Render("hanger", "clear-a"), Render("hanger", "clear-b")


@pytest.fixture
def desk() -> SurveyPhotosDesk:
    """Give a desk whose book is never opened: nothing here is kept."""
    return SurveyPhotosDesk(
        cast("FieldBook", None), cast("Settings", None), np.datetime64("2027-11-02T21:40")
    )


def given_of(render: Render) -> PhotoGiven:
    view = render.taken["view"]
    return PhotoGiven(
        lens_height_m=view["z_m"], pitch_deg=view["pitch_deg"], roll_deg=view["roll_deg"]
    )


def surveyed(render: Render) -> list[Trunk]:
    """Give the truth, as a tape would have it."""
    found = []
    for name, one in render.taken["marks"].items():
        found.append(
            trunk_at(
                name,
                one["bearing_deg"] - render.taken["view"]["yaw_deg"],
                distance_m=one["distance_m"],
                width_m=render.truth["trunks"][name]["width_m"],
                doubt=Doubt(distance_m=0.01 * one["distance_m"]),
            )
        )
    return found


PAIRS = [
    ("hanger", "clear-a", "clear-b"),
    ("hanger", "clear-b", "clear-a"),
    ("hanger", "clear-a", "clear-forward"),
    ("hanger", "clear-a", "clear-long"),
    ("hanger", "mist60-a", "mist60-b"),
    ("ride", "mist120-a", "mist120-b"),
    ("ride", "mist120-b", "mist120-a"),
]


@pytest.mark.slow
@pytest.mark.parametrize(("wood", "one", "other"), PAIRS)
def test_rendered_trunks_are_within_5_in_100_or_three_of_their_own_errors(
    desk: SurveyPhotosDesk, wood: str, one: str, other: str
) -> None:
    first, second = Render(wood, one), Render(wood, other)
    found = desk.pair_of_photos(
        first.data,
        second.data,
        step_m=step_m(first, second),
        marks=first.marks(off_px=1.0),
        given=(given_of(first), given_of(second)),
    )
    assert len(found.trunks) >= 3
    for measured in found.trunks:
        true_m = first.distance_m(measured.trunk.name)
        off_m = abs(measured.trunk.distance_m - true_m)
        assert off_m < max(0.05 * true_m, 3.0 * measured.trunk.doubt.distance_m)
        # An error that covers everything would pass and tell nothing.
        assert measured.trunk.doubt.distance_m < 0.35 * true_m


def test_the_second_camera_is_placed_and_a_cloud_stands_on_the_ground(
    desk: SurveyPhotosDesk,
) -> None:
    found = desk.pair_of_photos(
        A.data, B.data, step_m=step_m(A, B), given=(given_of(A), given_of(B))
    )
    np.testing.assert_allclose(found.second_place_m, B.place_m - [A.place_m[0], 0, 0], atol=0.02)
    near = [one for one in found.cloud if math.hypot(one.x_m, one.y_m) < 8.0]
    assert len(near) > 300
    # The render's ground is level: the lowest points lie on it.
    assert abs(np.percentile([one.z_m for one in near], 10.0)) < 0.12
    assert all(one.error_m < 0.3 * math.dist((0, 0, 1.5), (one.x_m, one.y_m, one.z_m))
               for one in found.cloud)  # fmt: skip


def test_twice_the_step_is_twice_the_distance(desk: SurveyPhotosDesk) -> None:
    marks = [replace(one, foot_px=None) for one in A.marks()]
    given = (given_of(A), given_of(B))
    once = desk.pair_of_photos(A.data, B.data, step_m=0.6, marks=marks, given=given)
    twice = desk.pair_of_photos(A.data, B.data, step_m=1.2, marks=marks, given=given)
    by_name = {one.trunk.name: one.trunk.distance_m for one in once.trunks}
    assert by_name
    for one in twice.trunks:
        # Not to the last digit: points are kept above the ground, and the ground scales too.
        assert one.trunk.distance_m == pytest.approx(2.0 * by_name[one.trunk.name], rel=0.03)


def test_the_same_file_twice_is_refused(desk: SurveyPhotosDesk) -> None:
    with pytest.raises(BadInputError, match="same file"):
        desk.pair_of_photos(A.data, A.data, step_m=0.6)


def test_a_photo_that_tells_no_focal_length_is_asked_about(desk: SurveyPhotosDesk) -> None:
    bare = BytesIO()
    Image.fromarray(A.grey).save(bare, "PNG")
    with pytest.raises(MissingDataError, match="give the focal length and the width"):
        desk.marks_on_photo(bare.getvalue(), A.marks())
    told = PhotoGiven(focal_length_mm=28.0, sensor_width_mm=36.0, pitch_deg=-3.0)
    assert desk.marks_on_photo(bare.getvalue(), A.marks(), given=told).trunks


def test_a_panorama_is_refused(desk: SurveyPhotosDesk) -> None:
    wide = BytesIO()
    Image.fromarray(A.grey[:200]).save(wide, "PNG")
    told = PhotoGiven(focal_length_mm=28.0, sensor_width_mm=36.0)
    with pytest.raises(BadInputError, match="as panoramas are"):
        desk.marks_on_photo(wide.getvalue(), (), given=told)


def test_what_is_wrong_with_one_mark_does_not_hold_up_the_others(desk: SurveyPhotosDesk) -> None:
    high = TrunkMark(name="Heron", left_px=300, right_px=330, row_px=100, foot_px=(315.0, 90.0))
    found = desk.marks_on_photo(A.data, [*A.marks(), high], given=given_of(A))
    assert len(found.trunks) == len(A.marks())
    assert found.not_measured[0][0] == "Heron"
    assert "above where flat ground could be seen" in found.not_measured[0][1]


def test_a_tilt_that_nobody_gave_is_said(desk: SurveyPhotosDesk) -> None:
    found = desk.marks_on_photo(A.data, A.marks())
    assert "tilt of the camera is not known" in found.sentences[0]


@pytest.mark.parametrize(
    ("wood", "shot", "range_m"),
    [("hanger", "mist60-a", 60.0), ("hanger", "mist60-b", 60.0),
     ("ride", "mist120-a", 120.0), ("ride", "mist120-b", 120.0)],
)  # fmt: skip
def test_mist_of_even_light_is_found_within_15_in_100(
    desk: SurveyPhotosDesk, wood: str, shot: str, range_m: float
) -> None:
    render = Render(wood, shot)
    found = desk.mist_on_photo(render.data, render.marks(), trunks=surveyed(render))
    assert found.is_even
    assert found.optical_range_m == pytest.approx(range_m, rel=0.15)
    assert found.low_m < range_m < found.high_m


def test_a_low_sun_is_told_and_clear_air_has_no_end(desk: SurveyPhotosDesk) -> None:
    low = Render("ride", "lowsun120-a")
    found = desk.mist_on_photo(low.data, low.marks(), trunks=surveyed(low))
    assert "with a low sun or a shallow layer" in found.words
    clear = desk.mist_on_photo(A.data, A.marks(), trunks=surveyed(A))
    assert math.isinf(clear.high_m)


def test_the_final_stand_is_told_from_the_scouting_photo(desk: SurveyPhotosDesk) -> None:
    found = desk.how_far_off(
        B.data, A.data, marks=A.marks(), trunks=surveyed(A), given=(given_of(B), given_of(A))
    )
    off = B.place_m - A.place_m
    got = (found.right_m, found.forward_m, found.up_m)
    np.testing.assert_allclose(got, off, atol=max(0.02, 3.0 * found.error_m))
    assert found.error_m < 0.1
    assert "60 cm to the right" in found.words or "61 cm to the right" in found.words \
        or "59 cm to the right" in found.words  # fmt: skip


def test_the_final_stand_is_counted_from_the_wished_one(desk: SurveyPhotosDesk) -> None:
    found = desk.how_far_off(
        B.data,
        A.data,
        marks=A.marks(),
        trunks=surveyed(A),
        wished_m=(0.9, 0.03, 1.46),
        given=(given_of(B), given_of(A)),
    )
    assert found.right_m == pytest.approx(-0.3, abs=0.03)
    assert "to the left" in found.words


def test_a_final_photo_from_the_same_place_is_told_as_such(desk: SurveyPhotosDesk) -> None:
    turned = Render("hanger", "clear-turned")
    found = desk.how_far_off(turned.data, A.data, marks=A.marks(), trunks=surveyed(A))
    assert not found.is_told
    assert found.error_m < 0.1


def test_the_final_stand_is_told_from_the_elements_alone(desk: SurveyPhotosDesk) -> None:
    found = desk.how_far_off_by_elements(B.data, B.marks(), trunks=surveyed(A), given=given_of(B))
    off = B.place_m - A.place_m
    assert found.right_m == pytest.approx(off[0], abs=3.0 * found.right_error_m)
    assert found.forward_m == pytest.approx(off[1], abs=3.0 * found.forward_error_m)
    assert found.error_m < 0.3


def test_neither_feet_nor_tilt_are_needed_for_two_photos(desk: SurveyPhotosDesk) -> None:
    marks = [replace(one, foot_px=None) for one in A.marks(off_px=1.0)]
    found = desk.pair_of_photos(A.data, B.data, step_m=step_m(A, B), marks=marks)
    assert len(found.trunks) >= 5
    for measured in found.trunks:
        true_m = A.distance_m(measured.trunk.name)
        off_m = abs(measured.trunk.distance_m - true_m)
        assert off_m < max(0.05 * true_m, 3.0 * measured.trunk.doubt.distance_m)
        assert measured.trunk.doubt.distance_m < 0.1 * true_m


def test_a_step_too_short_for_the_distance_says_which_to_take(desk: SurveyPhotosDesk) -> None:
    far = [
        replace(one, foot_px=None)
        for one in Render("hanger", "mist60-a").marks()
        if one.name == "Lean"
    ]
    noisy = (Render("hanger", "mist60-a").data, Render("hanger", "mist60-b").data)
    with pytest.raises(BadInputError, match=r"Lean: a step of 0.6 m cannot tell .* step \d"):
        desk.pair_of_photos(*noisy, step_m=0.6, marks=far, step_error_m=0.3)
