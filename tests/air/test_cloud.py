import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.air.cloud import HillFogModel, cloud_base_m, hill_fog_share, layer_cloud
from shivelight.basis.errors import OutOfRangeError


def chance(
    spread_k: float, *, wind: float = 5.0, cloud: float = 1.0, wood: float = 250.0
) -> float:
    return float(
        hill_fog_share(
            spread_k,
            wind_speed_mps=wind,
            layer_cloud_frac=cloud,
            station_height_m=60.0,
            wood_height_m=wood,
        ).chance_frac
    )


@pytest.mark.parametrize(("spread_k", "base_m"), [(1, 125), (2, 250), (3, 375), (4, 500)])
def test_the_base_is_a_hundred_and_twenty_five_metres_a_kelvin(
    spread_k: float, base_m: float
) -> None:
    # The working rule of the trade notes, 3.1: spread 1/2/3/4 °C = 125/250/375/500 m.
    assert cloud_base_m(0.0, spread_k) == base_m


def test_a_wood_at_250_m_is_likelier_than_not_in_cloud_above_a_station_at_60_m() -> None:
    # The working example of the trade notes, 3.1: spread 1.5 °C with wind.
    assert cloud_base_m(60.0, 1.5) == 247.5
    assert chance(1.5, wood=300.0) > 0.6
    assert 0.4 < chance(1.5) < 0.5
    assert chance(1.5, wood=120.0) < 0.05


def test_a_clear_calm_night_gives_none_whatever_the_spread() -> None:
    assert chance(0.0, wind=1.0, cloud=0.0) == 0.0


def test_the_chance_is_never_certain() -> None:
    assert chance(0.0, wind=10.0, wood=900.0) == pytest.approx(0.9)


@given(
    spread_k=st.floats(0.0, 6.0),
    wind=st.floats(0.0, 10.0),
    cloud=st.floats(0.0, 1.0),
    wood=st.floats(0.0, 800.0),
)
def test_more_wind_cloud_height_and_a_smaller_spread_never_lower_it(
    spread_k: float, wind: float, cloud: float, wood: float
) -> None:
    base = chance(spread_k, wind=wind, cloud=cloud, wood=wood)
    assert 0.0 <= base <= 0.9
    assert chance(spread_k, wind=wind + 1.0, cloud=cloud, wood=wood) >= base
    assert chance(spread_k, wind=wind, cloud=min(cloud + 0.1, 1.0), wood=wood) >= base
    assert chance(spread_k, wind=wind, cloud=cloud, wood=wood + 50.0) >= base
    assert chance(spread_k + 0.5, wind=wind, cloud=cloud, wood=wood) <= base


def test_what_is_missing_is_not_known() -> None:
    assert np.isnan(chance(np.nan))
    assert np.isnan(chance(1.0, wind=np.nan))
    assert np.isnan(chance(1.0, cloud=np.nan))


def test_shapes_broadcast_and_say_how_far_the_air_is_stirred() -> None:
    fog = hill_fog_share(
        np.ones((3, 4)),
        wind_speed_mps=np.array([0.0, 1.5, 2.5, 9.0]),
        layer_cloud_frac=1.0,
        station_height_m=60.0,
        wood_height_m=250.0,
    )
    assert fog.chance_frac.shape == fog.stirred_frac.shape == (3, 4)
    np.testing.assert_allclose(fog.stirred_frac[0], [0.0, 0.0, 0.5, 1.0])


def test_all_cloud_stands_in_where_low_cloud_is_not_known() -> None:
    np.testing.assert_array_equal(layer_cloud([0.2, np.nan], [0.9, 0.8]), [0.2, 0.8])


def test_heights_off_the_earth_and_limits_out_of_order_are_refused() -> None:
    with pytest.raises(OutOfRangeError, match="height of the wood"):
        chance(1.0, wood=10_000.0)
    with pytest.raises(OutOfRangeError, match="stirs the air"):
        HillFogModel(calm_mps=4.0, stirred_mps=3.0)
