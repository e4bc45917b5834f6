import numpy as np
import pytest

from shivelight.air.fogpoint import (
    KNOT_MPS,
    barrow_clearance_hour_utc,
    craddock_pritchard_fog_point_degc,
    crossover_margin_k,
    fog_stability_index,
    inversion_heat_jm2,
    middle_wallop_fog_point_degc,
    stratus_base_m,
)
from shivelight.air.radiation import (
    clear_night_loss_wm2,
    clear_sky_longwave_wm2,
    scattering_per_sr,
)
from shivelight.basis.errors import BadInputError, MissingDataError, OutOfRangeError


def craddock(okta: float, knots: float) -> float:
    return float(
        craddock_pritchard_fog_point_degc(
            14.0, 9.0, cloud_cover_frac=okta / 8.0, geostrophic_wind_mps=knots * KNOT_MPS
        )
    )


@pytest.mark.parametrize(
    ("okta", "knots", "more"),
    [
        (2, 12.5, 0.0), (2, 12.6, -1.5), (2.1, 12.5, 0.0), (4.1, 12.5, 1.0), (4.1, 12.6, 0.5),
        (6, 8, 1.0), (6.1, 8, 1.5), (8, 20, 0.5),
    ],
)  # fmt: skip
def test_craddock_pritchards_limits_belong_to_the_lower_class(
    okta: float, knots: float, more: float
) -> None:
    # Craddock & Pritchard 1951, the table of A with its limits "0-2, >2-4, >4-6, >6-8".
    assert craddock(okta, knots) == pytest.approx(0.044 * 14 + 0.844 * 9 - 0.55 + more)


def test_craddock_pritchard_without_sense_gives_nothing() -> None:
    assert np.isnan(craddock(9.0, 5.0))
    assert np.isnan(craddock(float("nan"), 5.0))


def test_the_stability_index_falls_with_moister_air_and_rises_with_wind() -> None:
    def index(dew_point: float, wind: float) -> float:
        return float(
            fog_stability_index(8.0, dew_point, temperature_850hpa_degc=4.0, wind_850hpa_mps=wind)
        )

    assert index(7.0, 3.0) < index(4.0, 3.0) < index(4.0, 9.0)


def test_middle_wallop_has_three_classes_of_wind() -> None:
    wind = np.array([5.0, 6.0, 9.0, 10.0]) * KNOT_MPS
    got = middle_wallop_fog_point_degc(5.0, best_visibility_m=24_000.0, wind_mps=wind)
    # 24 km over 3 km is 2³, over 2 km 12, and 0.75 × 24 = 18.
    np.testing.assert_allclose(got, 5.0 - np.log2([8.0, 12.0, 12.0, 18.0]))
    assert np.isnan(middle_wallop_fog_point_degc(5.0, best_visibility_m=0.0, wind_mps=1.0))


def test_the_crossover_takes_the_afternoons_least_dew_point_and_the_nights_least_warmth() -> None:
    margin = crossover_margin_k([[6.0, 5.0, np.nan]], [[7.0, np.nan, 3.5, 4.0]])
    assert margin.tolist() == [-1.5]
    assert np.isnan(crossover_margin_k([np.nan], [3.0]))
    with pytest.raises(MissingDataError, match="crossover"):
        crossover_margin_k([], [3.0])


def test_barrows_hours_run_from_noon_to_noon_through_six() -> None:
    hours = [barrow_clearance_hour_utc(month) for month in range(1, 13)]
    assert hours == [11, 10, 9, 8, 7, 6, 7, 8, 9, 10, 11, 12]
    with pytest.raises(OutOfRangeError, match="month"):
        barrow_clearance_hour_utc(13)


def test_a_step_takes_twice_the_heat_of_an_even_inversion() -> None:
    even = inversion_heat_jm2(100.0, strength_k=4.0)
    assert inversion_heat_jm2(100.0, strength_k=4.0, shape="rectangular") == 2.0 * even
    with pytest.raises(BadInputError, match="not 'round'"):
        inversion_heat_jm2(100.0, strength_k=4.0, shape="round")


def test_stratus_is_higher_over_cooling_land_and_needs_a_spread() -> None:
    assert stratus_base_m(2.0, warming=False) > stratus_base_m(2.0, warming=True)
    assert np.isnan(stratus_base_m(-0.1))


def test_a_clear_night_loses_heat_at_any_warmth() -> None:
    warmth = np.linspace(-20.0, 25.0, 10)
    assert (clear_night_loss_wm2(warmth) > 60.0).all()
    assert (np.diff(clear_sky_longwave_wm2(warmth)) > 0.0).all()


@pytest.mark.parametrize("g", [-0.5, 0.0, 0.85])
def test_scattered_light_adds_up_to_one_with_mean_cosine_g(g: float) -> None:
    cosine, weight = np.polynomial.legendre.leggauss(400)
    share = scattering_per_sr(np.degrees(np.arccos(cosine)), asymmetry_frac=g)
    assert 2.0 * np.pi * (share * weight).sum() == pytest.approx(1.0, abs=1e-9)
    assert 2.0 * np.pi * (share * cosine * weight).sum() == pytest.approx(g, abs=1e-9)


def test_an_asymmetry_of_one_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="asymmetry"):
        scattering_per_sr(0.0, asymmetry_frac=1.0)
