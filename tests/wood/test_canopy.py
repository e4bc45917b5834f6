"""Light through a canopy; published values stand in tests/published."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from shivelight.basis.errors import BadInputError, OutOfRangeError
from shivelight.wood.canopy import (
    Canopy,
    beam_through_frac,
    canopy_transmittance_frac,
    diffuse_transmittance_frac,
    gap_frac,
    path_transmittance_frac,
    stops_from_frac,
)


@pytest.mark.parametrize("area", [0.3, 2.0, 5.8])
def test_diffuse_light_is_the_gap_fraction_summed_over_the_sky(area: float) -> None:
    # Numerical integration over the hemisphere: a route that does not use E₃.
    def ring(zenith_rad: float) -> float:
        gap = float(gap_frac(area, zenith_deg=math.degrees(zenith_rad)))
        return 2.0 * gap * math.sin(zenith_rad) * math.cos(zenith_rad)

    whole, _ = quad(ring, 0.0, math.pi / 2.0 - 1e-9)
    assert float(diffuse_transmittance_frac(area)) == pytest.approx(whole, abs=1e-6)


def test_no_leaves_let_all_light_through() -> None:
    assert float(canopy_transmittance_frac(0.0, extinction=0.5)) == 1.0
    assert float(gap_frac(0.0, zenith_deg=80.0)) == 1.0
    assert float(diffuse_transmittance_frac(0.0)) == 1.0
    assert float(path_transmittance_frac(0.0, leaf_area_per_m=0.4)) == 1.0
    bare = Canopy(plant_area_index=0.0)
    assert beam_through_frac(bare, [2.0, 50.0]).tolist() == [1.0, 1.0]


@given(altitude=st.floats(1.0, 89.0), area=st.floats(0.0, 8.0), rise=st.floats(0.01, 2.0))
def test_more_leaf_and_lower_light_dim_the_beam(altitude: float, area: float, rise: float) -> None:
    thin, thick = Canopy(plant_area_index=area), Canopy(plant_area_index=area + rise)
    assert beam_through_frac(thick, altitude) <= beam_through_frac(thin, altitude)
    lower = beam_through_frac(thin, altitude * 0.9)
    assert lower <= beam_through_frac(thin, altitude) + 1e-12


@given(altitude=st.floats(1.0, 89.0), area=st.floats(0.0, 8.0))
def test_an_endless_layer_is_the_gap_fraction(altitude: float, area: float) -> None:
    endless = Canopy(plant_area_index=area)
    expected = float(gap_frac(area, zenith_deg=90.0 - altitude))
    assert float(beam_through_frac(endless, altitude)) == pytest.approx(expected, abs=1e-9)


def test_low_light_comes_in_beneath_the_crowns_of_an_edge() -> None:
    # Crowns begin 7 m above the lens: at 5° a ray meets them 80 m away, past an edge at 60 m.
    edge = Canopy(plant_area_index=5.0, base_height_m=8.4, top_height_m=20.0, edge_distance_m=60.0)
    assert float(beam_through_frac(edge, 5.0)) == 1.0
    assert float(beam_through_frac(edge, 10.0)) < 0.2
    deep = Canopy(plant_area_index=5.0, base_height_m=8.4, top_height_m=20.0)
    assert float(beam_through_frac(deep, 5.0)) < 1e-9


def test_part_of_the_layer_counts_by_its_length() -> None:
    # 45°, lens at 0, crowns 10 to 20 m, edge at 15 m: 5·√2 m inside at 0.5 m²/m³.
    half = Canopy(
        plant_area_index=5.0,
        base_height_m=10.0,
        top_height_m=20.0,
        edge_distance_m=15.0,
        lens_height_m=0.0,
    )
    expected = math.exp(-0.5 * 0.5 * 5.0 * math.sqrt(2.0))
    assert float(beam_through_frac(half, 45.0)) == pytest.approx(expected, abs=1e-12)
    by_path = path_transmittance_frac(5.0 * math.sqrt(2.0), leaf_area_per_m=0.5)
    assert float(by_path) == pytest.approx(expected, abs=1e-12)


def test_below_the_horizon_there_is_no_beam() -> None:
    assert beam_through_frac(Canopy(plant_area_index=1.0), [-0.1, -20.0]).tolist() == [0.0, 0.0]


def test_arrays_empty_and_nan() -> None:
    assert canopy_transmittance_frac([[1.0, np.nan]], extinction=0.5).shape == (1, 2)
    assert np.isnan(canopy_transmittance_frac(np.nan, extinction=0.5))
    assert np.isnan(gap_frac(1.0, zenith_deg=[90.0, 120.0, np.nan])).all()
    assert gap_frac([1.0, 2.0], zenith_deg=[[0.0], [60.0]]).shape == (2, 2)
    assert diffuse_transmittance_frac([]).shape == (0,)
    assert np.isnan(beam_through_frac(Canopy(plant_area_index=1.0), np.nan))
    assert beam_through_frac(Canopy(plant_area_index=1.0), []).shape == (0,)


def test_stops_of_all_half_nothing_and_less_than_nothing() -> None:
    stops = stops_from_frac([1.0, 0.5, 0.0, -0.1])
    assert stops[:3].tolist() == [0.0, -1.0, -math.inf]
    assert np.isnan(stops[3])


def test_crowns_that_make_no_sense_are_refused() -> None:
    with pytest.raises(BadInputError, match="the top must be the higher"):
        Canopy(plant_area_index=1.0, base_height_m=20.0, top_height_m=10.0)
    with pytest.raises(OutOfRangeError, match="plant area index is -1"):
        Canopy(plant_area_index=-1.0)
    with pytest.raises(OutOfRangeError, match="extinction is -1"):
        canopy_transmittance_frac(1.0, extinction=-1.0)
    with pytest.raises(OutOfRangeError, match="distance to the edge is -1 m"):
        Canopy(plant_area_index=1.0, edge_distance_m=-1.0)
