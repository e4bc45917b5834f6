import datetime as dt
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from shivelight.basis.errors import BadInputError, MissingDataError, NotFoundError
from shivelight.basis.places import destination
from shivelight.outing.spots import Sight, SpotState
from shivelight.outing.woods import AccessFact, Privacy
from shivelight.workbench.bench import Workbench
from shivelight.workbench.demo_ground import write_valley_ground
from shivelight.workbench.demo_valley import valley


def test_the_valley_has_its_woods_and_spots(spots: Workbench) -> None:
    assert len(spots.woods()) == 7
    assert len(spots.spots()) == 8
    assert [one.name for one in spots.spots("Sallowden Hanger")] == [
        "Plumb and Lean",
        "Root Stair",
    ]


def test_a_spot_outside_its_wood_is_refused_and_nothing_is_kept(spots: Workbench) -> None:
    spot = spots.spot("White Post Gap")
    away = destination(spot.position, azimuth_deg=90.0, distance_m=2000.0)
    with pytest.raises(BadInputError, match="outside the outline of Pinnet Heath"):
        spots.add_spot(replace(spot, name="Lost Gap", position=away))
    with pytest.raises(NotFoundError):
        spots.spot("Lost Gap")


def test_without_an_outline_a_spot_far_from_the_parking_is_a_slip(spots: Workbench) -> None:
    spots.change_wood("Pinnet Heath", outline=())
    spot = spots.spot("White Post Gap")
    away = destination(spot.position, azimuth_deg=90.0, distance_m=9000.0)
    with pytest.raises(BadInputError, match="km from the parking place"):
        spots.change_spot("White Post Gap", position=away)


def test_wishes_are_added_changed_and_taken_back(spots: Workbench) -> None:
    spots.wish("Old Chair", "hoar", must=True)
    assert "ground hoar" in [one.words for one in spots.spot("Old Chair").musts]
    spots.wish("Old Chair", "hoar", must=False)
    assert "ground hoar" not in [one.words for one in spots.spot("Old Chair").musts]
    spots.unwish("Old Chair", "hoar")
    with pytest.raises(NotFoundError, match="does not wish for 'ground hoar'"):
        spots.unwish("Old Chair", "hoar")


def test_a_lost_spot_is_marked_and_never_deleted(spots: Workbench) -> None:
    spots.remove_spot("Old Chair")
    assert spots.spot("Old Chair").state is SpotState.LOST


def test_a_spot_is_never_less_quiet_than_its_wood(spots: Workbench) -> None:
    spots.change_wood("Pinnet Heath", privacy=Privacy.NEVER)
    changed = spots.change_spot("White Post Gap", note="looked at again")
    assert changed.privacy is Privacy.NEVER


def test_an_unknown_stand_is_refused_with_the_known_ones(spots: Workbench) -> None:
    with pytest.raises(NotFoundError, match="the known ones are beech"):
        spots.change_wood("Pinnet Heath", stand="baobab")


def test_old_access_facts_ask_to_be_looked_at_again(spots: Workbench) -> None:
    page = spots.wood("Coldshaw Bottom")
    assert page.stale_access[0] == "felling proposal noted: checked 3 January 2027, look again"
    fresh = AccessFact(what="gate open", noted_on=dt.date(2027, 10, 30))
    assert not any(
        "gate open" in one for one in spots.add_access("Pinnet Heath", fresh).stale_access
    )


def test_kit_names_are_taken_once(spots: Workbench) -> None:
    body, lens = valley().kit.bodies[0], valley().kit.lenses[0]
    spots.add_body(body)
    spots.add_lens(lens)
    with pytest.raises(BadInputError, match="already a body"):
        spots.add_body(replace(body, name=body.name.upper()))
    assert not spots.drop_from_kit(lens.name).lenses
    with pytest.raises(NotFoundError, match="holds nothing named"):
        spots.drop_from_kit("tripod")


def test_a_skyline_from_the_ground_is_put_together_with_the_typed_one(
    spots: Workbench, tmp_path: Path
) -> None:
    ground = write_valley_ground(tmp_path / "ground.tif", valley().origin)
    spots.attach_raster("Threll Clough", [ground])
    spots.set_skyline(
        "Rope and Fern",
        [Sight(azimuth_deg=bearing, altitude_deg=1.0) for bearing in (160.0, 190.0)],
    )
    told = []
    report = spots.skyline_from_ground(
        "Rope and Fern", progress=lambda step, done, total: told.append((step, done, total))
    )
    assert told[-1][1] == told[-1][2]
    assert "wennick" not in report.note
    assert "ground.tif; ground seen" in report.note
    assert report.highest_deg > 5.0  # the gorge's own walls
    assert np.isfinite(report.altitude_deg).all()


def test_without_a_raster_the_ground_cannot_be_asked(spots: Workbench) -> None:
    with pytest.raises(MissingDataError, match="has no ground raster yet"):
        spots.skyline_from_ground("Rope and Fern")


def test_a_raster_that_does_not_cover_the_wood_is_not_attached(
    spots: Workbench, tmp_path: Path
) -> None:
    far = destination(valley().origin, azimuth_deg=0.0, distance_m=300_000.0)
    ground = write_valley_ground(tmp_path / "far.tif", far)
    with pytest.raises(MissingDataError):
        spots.attach_raster("Threll Clough", [ground])
    assert not spots.wood("Threll Clough").rasters


def test_compass_bearings_are_turned_to_true_ones(spots: Workbench) -> None:
    lines = [f"{bearing} 5" for bearing in range(0, 360, 30)]
    spots.set_skyline_by_hand("Old Chair", lines, magnetic=True)
    # The needle stood within a few degrees of true north there in 2027 (WMM2025).
    bearings = [one.azimuth_deg for one in spots.spot("Old Chair").sights]
    off = [min(one % 30.0, 30.0 - one % 30.0) for one in bearings]
    assert all(0.05 < one < 4.0 for one in off)


def test_two_heights_at_one_bearing_are_refused(spots: Workbench) -> None:
    with pytest.raises(BadInputError, match=r"[Tt]wo heights"):
        spots.set_skyline_by_hand("Old Chair", ["95: 3", "95: 4"])


def test_a_raster_need_only_cover_a_spot_of_the_wood(spots: Workbench, tmp_path: Path) -> None:
    ground = write_valley_ground(tmp_path / "ground.tif", valley().origin)
    far = destination(valley().origin, azimuth_deg=0.0, distance_m=300_000.0)
    spots.change_wood("Threll Clough", parking=far)
    assert [one.kind for one in spots.attach_raster("Threll Clough", [ground])] == ["ground"]


def test_a_raster_that_covers_nothing_of_the_wood_says_both(
    spots: Workbench, tmp_path: Path
) -> None:
    far = destination(valley().origin, azimuth_deg=0.0, distance_m=300_000.0)
    ground = write_valley_ground(tmp_path / "far.tif", far)
    with pytest.raises(
        MissingDataError,
        match=r"far.tif covers neither the parking place of Threll Clough nor any of its spots",
    ):
        spots.attach_raster("Threll Clough", [ground])


def test_heights_that_make_no_skyline_leave_the_old_ones(spots: Workbench) -> None:
    before = spots.spot("White Post Gap").sights
    assert before
    with pytest.raises(BadInputError, match="within 45"):
        spots.set_skyline_by_hand("White Post Gap", ["10: 3", "200: 4"])
    assert spots.spot("White Post Gap").sights == before
