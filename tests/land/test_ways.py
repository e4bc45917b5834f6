"""Walks and bearings."""

import datetime as dt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import BadInputError, MissingDataError, OutOfRangeError
from shivelight.basis.places import Position, distance_and_azimuth
from shivelight.land.bearings import (
    grid_convergence_deg,
    magnetic_declination_deg,
    magnetic_field,
    true_from_grid,
    true_from_magnetic,
)
from shivelight.land.ground import Ground, position_of
from shivelight.land.walking import (
    WalkingPace,
    naismith_time_s,
    tobler_speed_mps,
    walk_over,
    walk_time_s,
)

WENNICK = Position(latitude_deg=53.0, longitude_deg=-5.1)


def hillside() -> Ground:
    """Rising northward by 1 in 10."""
    rows = np.repeat(np.arange(101.0)[::-1][:, None], 101, axis=1)
    return Ground(
        heights_m=rows.astype(np.float32),
        affine=(10.0, 0.0, 499_500.0, 0.0, -10.0, 5_872_500.0),
        crs_wkt="EPSG:32631",
    )


class TestWalking:
    def test_fastest_a_little_downhill(self) -> None:
        slopes = np.linspace(-0.5, 0.5, 1001)
        assert slopes[np.argmax(tobler_speed_mps(slopes))] == pytest.approx(-0.05)
        assert np.isnan(tobler_speed_mps(np.nan))
        assert tobler_speed_mps([]).shape == (0,)

    @given(distance=st.floats(1.0, 5000.0), rise=st.floats(-300.0, 300.0))
    def test_dark_and_off_path_are_slower_by_their_shares(
        self, distance: float, rise: float
    ) -> None:
        pace = WalkingPace(dark_frac=0.8, off_path_frac=0.6)
        day = walk_time_s(distance, rise_m=rise, pace=pace)
        assert walk_time_s(distance, rise_m=rise, dark=True, pace=pace) == pytest.approx(day / 0.8)
        both = walk_time_s(distance, rise_m=rise, dark=True, off_path=True, pace=pace)
        assert both == pytest.approx(day / 0.48)

    def test_a_bank_is_scrambled_over_not_stood_before_for_hours(self) -> None:
        assert walk_time_s(5.0, rise_m=20.0) == 50.0

    def test_level_five_kilometres(self) -> None:
        # Tobler 1993: 6 exp(-3.5 x 0.05) = 5.0367 km/h on the level.
        assert walk_time_s(5036.7) == pytest.approx(3600.0, abs=0.1)
        assert walk_time_s(0.0) == 0.0

    def test_a_walk_over_an_even_slope_is_the_single_step(self) -> None:
        ground = hillside()
        start, end = position_of(ground, 90.0, 50.0), position_of(ground, 10.0, 50.0)
        up, down = walk_over(ground, [start, end]), walk_over(ground, [end, start])
        length_m, _ = distance_and_azimuth(start, end)
        assert up.distance_m == pytest.approx(length_m)
        assert up.ascent_m == pytest.approx(80.0, abs=1e-3)
        assert up.descent_m == 0.0
        assert up.time_s == pytest.approx(walk_time_s(length_m, rise_m=80.0), rel=1e-4)
        assert down.descent_m == pytest.approx(80.0, abs=1e-3)
        assert down.time_s < up.time_s
        assert up.guessed_m == 0.0

    def test_waypoints_add_up(self) -> None:
        ground = hillside()
        a, b, c = (position_of(ground, *at) for at in ((90.0, 50.0), (10.0, 50.0), (90.0, 60.0)))
        there_and_back = walk_over(ground, [a, b, c])
        parts = walk_over(ground, [a, b]), walk_over(ground, [b, c])
        assert there_and_back.time_s == pytest.approx(sum(part.time_s for part in parts))
        assert there_and_back.ascent_m == pytest.approx(parts[0].ascent_m)

    def test_a_hole_on_the_way_is_bridged_and_said(self) -> None:
        heights = hillside().heights_m.copy()
        heights[40:45] = np.nan
        ground = Ground(heights_m=heights, affine=hillside().affine, crs_wkt="EPSG:32631")
        start, end = position_of(ground, 90.0, 50.0), position_of(ground, 10.0, 50.0)
        walk = walk_over(ground, [start, end])
        assert walk.guessed_m == pytest.approx(60.0, abs=20.0)
        assert walk.ascent_m == pytest.approx(80.0, abs=1e-3)

    def test_refusals(self) -> None:
        ground = hillside()
        start = position_of(ground, 90.0, 50.0)
        with pytest.raises(BadInputError, match="at least a start and an end"):
            walk_over(ground, [start])
        with pytest.raises(MissingDataError, match="does not cover the walk"):
            walk_over(ground, [start, WENNICK])
        with pytest.raises(BadInputError, match="needs a distance"):
            walk_time_s(0.0, rise_m=5.0)
        with pytest.raises(OutOfRangeError, match="distance is -1 m"):
            walk_time_s(-1.0)
        with pytest.raises(OutOfRangeError, match="share in the dark"):
            WalkingPace(dark_frac=0.0)

    def test_naismith_broadcasts(self) -> None:
        hours = naismith_time_s([5000.0, 0.0], ascent_m=[[0.0], [600.0]]) / 3600.0
        np.testing.assert_allclose(hours, [[1.0, 0.0], [2.0, 1.0]])

    def test_standing_still_on_the_way_takes_no_time(self) -> None:
        ground = hillside()
        start, end = position_of(ground, 90.0, 50.0), position_of(ground, 10.0, 50.0)
        once, twice = walk_over(ground, [start, end]), walk_over(ground, [start, start, end, end])
        assert twice.time_s == pytest.approx(once.time_s)


class TestMagnetic:
    def test_true_is_magnetic_plus_declination(self) -> None:
        day = dt.date(2027, 11, 2)
        declination = magnetic_declination_deg(WENNICK, day)
        turned = true_from_magnetic([0.0, 95.0, 359.9], position=WENNICK, day=day)
        np.testing.assert_allclose(
            (turned - np.array([0.0, 95.0, 359.9]) + 180.0) % 360.0 - 180.0, declination
        )
        assert (turned < 360.0).all()

    def test_the_year_is_taken_by_its_days(self) -> None:
        first = magnetic_declination_deg(WENNICK, dt.date(2026, 1, 1))
        assert first == magnetic_field(WENNICK, year=2026.0).declination_deg
        middle = magnetic_declination_deg(WENNICK, dt.date(2026, 7, 2))
        assert middle == pytest.approx(
            magnetic_field(WENNICK, year=2026.0 + 182 / 365).declination_deg, abs=1e-12
        )

    @pytest.mark.parametrize("day", [dt.date(2024, 12, 31), dt.date(2030, 6, 1)])
    def test_outside_the_models_years(self, day: dt.date) -> None:
        with pytest.raises(OutOfRangeError, match="it must be 2025 to 2030"):
            magnetic_declination_deg(WENNICK, day)


class TestGrid:
    def test_on_the_central_meridian_grid_north_is_true_north(self) -> None:
        spot = Position(latitude_deg=53.0, longitude_deg=3.0)
        assert grid_convergence_deg(spot, crs="EPSG:32631") == pytest.approx(0.0, abs=1e-9)

    @given(longitude=st.floats(0.2, 5.8), latitude=st.floats(-70.0, 70.0))
    def test_the_textbook_angle_of_a_transverse_mercator_map(
        self, longitude: float, latitude: float
    ) -> None:
        # atan(tan(longitude off the meridian) sin(latitude)), exact on a sphere.
        spot = Position(latitude_deg=latitude, longitude_deg=longitude)
        zone = "EPSG:32631" if latitude >= 0 else "EPSG:32731"
        off = np.radians(longitude - 3.0)
        wanted = np.degrees(np.arctan(np.tan(off) * np.sin(np.radians(latitude))))
        assert grid_convergence_deg(spot, crs=zone) == pytest.approx(wanted, abs=0.003)

    def test_the_real_raster_is_turned_as_its_reference_says(self) -> None:
        # Column convergence_deg of the reference profiles, point P01: 0.6062 degrees.
        spot = Position(latitude_deg=46.453434, longitude_deg=15.836381)
        assert grid_convergence_deg(spot, crs="EPSG:3794") == pytest.approx(0.6062, abs=2e-4)
        assert true_from_grid(359.9, position=spot, crs="EPSG:3794") == pytest.approx(
            0.5062, abs=2e-4
        )

    def test_an_unknown_system(self) -> None:
        with pytest.raises(BadInputError, match="cannot be placed on the Earth"):
            grid_convergence_deg(WENNICK, crs="EPSG:1")
