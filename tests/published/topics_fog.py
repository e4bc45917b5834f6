"""Topics of the fog table, each an adapter to one public function of ours."""

from collections.abc import Callable
from typing import Any

import numpy as np

from shivelight.air.cloud import cloud_base_m
from shivelight.air.fogpoint import (
    KNOT_MPS,
    barrow_clearance_hour_utc,
    craddock_pritchard_fog_point_degc,
    fog_stability_index,
    inversion_heat_jm2,
    middle_wallop_fog_point_degc,
    stratus_base_m,
)
from shivelight.air.humidity import (
    ALDUCHOV_ESKRIDGE,
    BOLTON,
    WMO,
    Magnus,
    dew_point_degc,
    saturation_vapour_pressure_hpa,
    swelling_frac,
)
from shivelight.air.radiation import clear_sky_longwave_wm2, scattering_per_sr
from shivelight.air.visibility import (
    apparent_luminance_cdm2,
    best_extinction_per_m,
    contrast_frac,
    extinction_from_water_per_m,
    extinction_per_m,
    far_range_m,
    gultepe_range_m,
    kunkel_extinction_per_m,
    layer_separation_frac,
    optical_range_m,
)

Inputs = dict[str, Any]


def _dew_point(form: Magnus) -> Callable[[Inputs], float]:
    return lambda row: float(dew_point_degc(row["T_C"], row["RH"] / 100.0, form=form))


def _saturation(row: Inputs) -> float:
    forms = {"Alduchov-Eskridge": ALDUCHOV_ESKRIDGE, "Bolton": BOLTON, "WMO": WMO}
    name = row["form"].split(" over ")[0]
    return float(saturation_vapour_pressure_hpa(row["T_C"], form=forms[name]))


def _craddock(row: Inputs) -> float:
    return float(
        craddock_pritchard_fog_point_degc(
            row["T12_C"],
            row["Td12_C"],
            cloud_cover_frac=row["cloud_okta"] / 8.0,
            geostrophic_wind_mps=row["geostrophic_kn"] * KNOT_MPS,
        )
    )


def _stability(row: Inputs) -> float:
    return float(
        fog_stability_index(
            row["Ts_C"],
            row["Td_C"],
            temperature_850hpa_degc=row["T850_C"],
            wind_850hpa_mps=row["W850_kn"] * KNOT_MPS,
        )
    )


def _wallop(row: Inputs) -> float:
    # Class 1 is 0 to 5 knots, 2 is 6 to 9, 3 is above; the middle of each stands for it.
    knots = {1: 3.0, 2: 7.0, 3: 12.0}[row["wind_class"]]
    return float(
        middle_wallop_fog_point_degc(
            row["Td_at_max_vis_C"],
            best_visibility_m=row["max_vis_m"],
            wind_mps=knots * KNOT_MPS,
        )
    )


def _luminance(row: Inputs) -> float:
    return float(
        apparent_luminance_cdm2(
            row["L0"],
            airlight_cdm2=row["airlight"],
            distance_m=row["d_m"],
            optical_range_m=row["MOR_m"],
        )
    )


def _separation(row: Inputs) -> float:
    best = best_extinction_per_m(row["d1_m"], row["d2_m"])
    return float(layer_separation_frac(row["d1_m"], row["d2_m"], extinction_per_m=best))


def _inversion_kjm2(row: Inputs) -> float:
    joules = inversion_heat_jm2(
        row["depth_m"],
        strength_k=row["dT_K"],
        density_kgm3=row["rho"],
        heat_capacity_jkgk=row["cp"],
        shape=row["shape"],
    )
    return float(joules) / 1000.0


def _position_in_relief(row: Inputs) -> float:
    from shivelight.land.hollows import topographic_position_index

    heights = np.array(row["z"], dtype=np.float64)
    middle = heights.shape[0] // 2, heights.shape[1] // 2
    return float(topographic_position_index(heights)[middle])


TOPICS: dict[str, Callable[[Inputs], Any]] = {
    "MOR to extinction": lambda row: float(
        extinction_per_m(row["MOR_m"], contrast_frac=row["eps"])
    ),
    "MOR to 2 percent visibility": lambda row: float(far_range_m(row["MOR_m"])),
    "contrast at distance": lambda row: float(
        contrast_frac(row["d_m"], optical_range_m=row["MOR_m"], first_frac=row["C0"])
    ),
    "apparent luminance": _luminance,
    "best extinction for two layers": lambda row: float(
        best_extinction_per_m(row["d1_m"], row["d2_m"])
    ),
    "best MOR for two layers": lambda row: float(
        optical_range_m(best_extinction_per_m(row["d1_m"], row["d2_m"]))
    ),
    "max separation": _separation,
    "dew point Alduchov-Eskridge": _dew_point(ALDUCHOV_ESKRIDGE),
    "dew point Bolton": _dew_point(BOLTON),
    "dew point WMO": _dew_point(WMO),
    "saturation vapour pressure": _saturation,
    "Craddock-Pritchard fog point": _craddock,
    "Fog Stability Index": _stability,
    "Middle Wallop fog point": _wallop,
    "Barrow clearance hour": lambda row: barrow_clearance_hour_utc(row["month"]),
    "extinction from LWC": lambda row: float(
        extinction_from_water_per_m(
            row["LWC_g_m3"], drop_radius_um=row["r_eff_um"], efficiency_frac=row["Q"]
        )
    ),
    "Kunkel extinction": lambda row: 1000.0 * float(kunkel_extinction_per_m(row["LWC_g_m3"])),
    "Gultepe visibility": lambda row: (
        float(gultepe_range_m(row["LWC_g_m3"], drops_per_cm3=row["Nd_cm3"])) / 1000.0
    ),
    "Henyey-Greenstein": lambda row: float(
        scattering_per_sr(row["theta_deg"], asymmetry_frac=row["g"])
    ),
    "kappa-Koehler growth": lambda row: float(swelling_frac(row["rh"], kappa_frac=row["kappa"])),
    "stratus base land warming": lambda row: (
        float(stratus_base_m(row["T_C"] - row["Td_C"], warming=True)) / 0.3048
    ),
    "LCL Espy": lambda row: float(cloud_base_m(0.0, row["T_C"] - row["Td_C"])),
    "heat to break inversion": _inversion_kjm2,
    "Swinbank clear-sky longwave": lambda row: float(clear_sky_longwave_wm2(row["T_K"] - 273.15)),
    "TPI 3x3": _position_in_relief,
}
