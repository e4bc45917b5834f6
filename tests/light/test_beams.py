"""Crowns between the sun and a spot: the same answer by layer and by table, and in a year."""

import datetime as dt

import numpy as np
import pytest

from shivelight.basis.arrays import FloatArray
from shivelight.light.beams import LEAST_BEAM_FRAC, beam_left_frac
from shivelight.light.reach import direct_light_windows, sun_track
from shivelight.light.year import SHADE, SUN, season_carpet
from shivelight.wood.canopy import Canopy
from shivelight.wood.crowns import CrownTable
from tests.light.shapes import DEMO, even

MORNING = (np.datetime64("2027-11-03T05:00"), np.datetime64("2027-11-03T12:00"))
AZIMUTH_DEG = np.arange(0.0, 360.0, 2.0)
ALTITUDE_DEG = np.array([1.0, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 60])
LAYER = Canopy(plant_area_index=2.8)


def table(path_m: FloatArray, *, leaf_area_per_m: float = 0.2) -> CrownTable:
    return CrownTable(
        azimuth_deg=AZIMUTH_DEG,
        altitude_deg=ALTITUDE_DEG,
        path_m=np.broadcast_to(path_m, (180, 15)).copy(),
        leaf_area_per_m=leaf_area_per_m,
    )


EVEN = table(14.0 / np.sin(np.radians(ALTITUDE_DEG)))
"""The same crowns as LAYER: 14 m deep with 2.8 m² of leaf and wood over each m²."""
GROVE = table(np.where((AZIMUTH_DEG[:, None] < 130.0) & (ALTITUDE_DEG < 25.0), 60.0, 0.0))
"""Crowns toward the sunrise, with the south open."""


def instants() -> np.ndarray[tuple[int], np.dtype[np.datetime64]]:
    return np.arange(*MORNING, np.timedelta64(60, "s"), dtype="datetime64[us]")


def test_the_open_leaves_all() -> None:
    np.testing.assert_array_equal(beam_left_frac(np.zeros(3), np.zeros(3), canopy=None), 1.0)


def test_even_crowns_dim_the_same_as_layer_and_as_table() -> None:
    layer, crowns = (
        sun_track(even(2.0), position=DEMO, utc=instants(), canopy=one) for one in (LAYER, EVEN)
    )
    high = layer.altitude_deg >= 1.0
    np.testing.assert_allclose(crowns.beam_frac[high], layer.beam_frac[high], atol=1e-9)
    windows = [
        direct_light_windows(
            even(2.0), position=DEMO, start_utc=MORNING[0], end_utc=MORNING[1], canopy=one
        )
        for one in (LAYER, EVEN)
    ]
    assert windows[0][0].beam_frac == pytest.approx(windows[1][0].beam_frac, abs=1e-9)


def test_behind_a_grove_the_beam_comes_later_though_the_skyline_is_passed() -> None:
    open_window, behind = (
        direct_light_windows(
            even(2.0), position=DEMO, start_utc=MORNING[0], end_utc=MORNING[1], canopy=one
        )[0]
        for one in (None, GROVE)
    )
    assert (open_window.beam_frac, open_window.beam_most_frac) == (1.0, 1.0)
    assert open_window.beam_start_utc is None
    assert open_window.beam_end_utc is None
    assert behind.start_utc == open_window.start_utc
    assert behind.beam_start_utc is not None
    assert behind.beam_frac < 0.8
    assert behind.beam_most_frac == 1.0
    track = sun_track(even(2.0), position=DEMO, utc=instants(), canopy=GROVE)
    seen = track.past_skyline & (track.beam_frac >= LEAST_BEAM_FRAC)
    first = instants()[seen][0]
    assert abs(behind.beam_start_utc - first) <= np.timedelta64(60, "s")
    assert track.azimuth_deg[seen][0] == pytest.approx(129.0, abs=1.5)


def test_under_dense_crowns_no_beam_is_seen_at_all() -> None:
    dense = table(np.full(15, 200.0))
    (window,) = direct_light_windows(
        even(2.0), position=DEMO, start_utc=MORNING[0], end_utc=MORNING[1], canopy=dense
    )
    assert window.beam_most_frac < LEAST_BEAM_FRAC
    assert window.beam_start_utc is None
    assert window.beam_end_utc is None


class TestYear:
    @staticmethod
    def by_leaf(day: np.datetime64) -> CrownTable:
        """Crowns all round, in leaf from May to October."""
        month = int(day.astype("datetime64[M]").astype(int)) % 12 + 1
        density = 0.4 if 5 <= month <= 10 else 0.0
        return table(np.full(15, 30.0), leaf_area_per_m=density)

    def test_leaf_closes_the_carpet_in_summer_only(self) -> None:
        bare, leafy = (
            season_carpet(
                even(2.0), position=DEMO, year=2027, zone_name="Europe/London", step_min=30,
                canopy_on=one,
            )
            for one in (None, self.by_leaf)
        )  # fmt: skip
        assert bare.beam_frac is None
        assert leafy.beam_frac is not None
        july, january = dt.date(2027, 7, 1), dt.date(2027, 1, 15)
        summer, winter = (one.timetuple().tm_yday - 1 for one in (july, january))
        np.testing.assert_array_equal(leafy.state[winter], bare.state[winter])
        assert (bare.state[summer] == SUN).any()
        assert not (leafy.state[summer] == SUN).any()
        assert (leafy.state[summer] == SHADE).sum() >= (bare.state[summer] == SUN).sum()
        assert np.isnat(leafy.first_sun_utc[summer])
        assert np.isnat(leafy.last_sun_utc[summer])
        assert leafy.first_sun_utc[winter] == bare.first_sun_utc[winter]

    def test_behind_a_grove_first_sun_is_the_first_cell_that_the_beam_reaches(self) -> None:
        open_year, behind = (
            season_carpet(
                even(2.0), position=DEMO, year=2027, zone_name="Europe/London", canopy_on=one
            )
            for one in (None, lambda _day: GROVE)
        )
        row = dt.date(2027, 11, 3).timetuple().tm_yday - 1
        cells = behind.utc[row][behind.state[row] == SUN]
        assert behind.first_sun_utc[row] == cells[0] > open_year.first_sun_utc[row]
        assert behind.last_sun_utc[row] == open_year.last_sun_utc[row]
