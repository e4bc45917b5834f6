"""The forecasters' older rules for fog: when it forms and when it clears.

They are kept for comparison and for the signs that they name; the chance itself comes from
the mist model, which beats them on held-out stations (docs/mist.md).
"""

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, MissingDataError, require_range

KNOT_MPS = 1852.0 / 3600.0
_FEET_M = 0.3048
_TINY = 1e-9  # a limit given in knots or eighths must survive the change of unit
_SHAPES = {"triangular": 0.5, "rectangular": 1.0}


def craddock_pritchard_fog_point_degc(
    noon_temperature_degc: ArrayLike,
    noon_dew_point_degc: ArrayLike,
    *,
    cloud_cover_frac: ArrayLike,
    geostrophic_wind_mps: ArrayLike,
) -> FloatArray:
    """Temperature at which radiation fog is expected, from the noon values.

    Parameters
    ----------
    noon_temperature_degc, noon_dew_point_degc : array_like, broadcasting to S
        At 12 UTC. [°C]
    cloud_cover_frac : array_like, broadcasting to S
        Mean cloud of the night, 0 to 1; anything else gives NaN.
    geostrophic_wind_mps : array_like, broadcasting to S
        Mean geostrophic wind of the night; the limit is 12.5 knots. [m/s]

    Returns
    -------
    ndarray of float64, shape S
        Fog point. [°C]

    References
    ----------
    .. [1] J. M. Craddock, D. L. Pritchard, Met. Res. Paper 624 (1951). Fitted in eastern
       England. That its wind is in knots is from memory.
    """
    cloud = np.asarray(cloud_cover_frac, dtype=np.float64) * 8.0
    row = np.digitize(cloud, [2.0 + _TINY, 4.0 + _TINY, 6.0 + _TINY])
    light = np.asarray(geostrophic_wind_mps, dtype=np.float64) / KNOT_MPS <= 12.5 + _TINY
    by_cloud = np.where(
        light, np.array([0.0, 0.0, 1.0, 1.5])[row], np.array([-1.5, 0.0, 0.5, 0.5])[row]
    )
    by_cloud = np.where((cloud >= 0.0) & (cloud <= 8.0 + _TINY), by_cloud, np.nan)
    temperature = np.asarray(noon_temperature_degc, dtype=np.float64)
    dew_point = np.asarray(noon_dew_point_degc, dtype=np.float64)
    return np.asarray(0.044 * temperature + 0.844 * dew_point - 0.55 + by_cloud)


def fog_stability_index(
    temperature_degc: ArrayLike,
    dew_point_degc: ArrayLike,
    *,
    temperature_850hpa_degc: ArrayLike,
    wind_850hpa_mps: ArrayLike,
) -> FloatArray:
    """Index of fog from the air near the ground and about 1.5 km up.

    Parameters
    ----------
    temperature_degc, dew_point_degc : array_like, broadcasting to S
        Near the ground. [°C]
    temperature_850hpa_degc : array_like, broadcasting to S
        At 850 hPa. [°C]
    wind_850hpa_mps : array_like, broadcasting to S
        At 850 hPa. [m/s]

    Returns
    -------
    ndarray of float64, shape S
        4 T − 2 (T₈₅₀ + Td) + W₈₅₀ in knots: under 31 fog is likely, over 55 unlikely.

    References
    ----------
    .. [1] USAF, 2WW/TN-79/008 (1979).
    """
    knots = np.asarray(wind_850hpa_mps, dtype=np.float64) / KNOT_MPS
    aloft = np.asarray(temperature_850hpa_degc, dtype=np.float64)
    return np.asarray(
        4.0 * np.asarray(temperature_degc, dtype=np.float64)
        - 2.0 * (aloft + np.asarray(dew_point_degc, dtype=np.float64))
        + knots
    )


def middle_wallop_fog_point_degc(
    dew_point_degc: ArrayLike, *, best_visibility_m: ArrayLike, wind_mps: ArrayLike
) -> FloatArray:
    """Fog point from the dew point at the time of the day's best visibility.

    Parameters
    ----------
    dew_point_degc : array_like, broadcasting to S
        Dew point then. [°C]
    best_visibility_m : array_like, broadcasting to S
        The day's best visibility; 0 and less give NaN. [m]
    wind_mps : array_like, broadcasting to S
        Night wind at 10 m: 0 to 5, 6 to 9, or more knots. [m/s]

    Returns
    -------
    ndarray of float64, shape S
        Fog point. [°C]

    References
    ----------
    .. [1] "Middle Wallop (modified)", a forecasters' rule read at third hand.
    """
    knots = np.asarray(wind_mps, dtype=np.float64) / KNOT_MPS
    visibility = np.asarray(best_visibility_m, dtype=np.float64)
    visibility = np.where(visibility > 0.0, visibility, np.nan)
    scale_m = np.where(knots < 5.5, 3000.0, np.where(knots < 9.5, 2000.0, 1000.0 / 0.75))
    scale_m = np.where(knots >= 0.0, scale_m, np.nan)
    dew_point = np.asarray(dew_point_degc, dtype=np.float64)
    return np.asarray(dew_point - np.log2(visibility / scale_m))


def crossover_margin_k(
    afternoon_dew_point_degc: ArrayLike, night_temperature_degc: ArrayLike
) -> FloatArray:
    """How far the night's least temperature stays above the afternoon's least dew point.

    Parameters
    ----------
    afternoon_dew_point_degc : array_like, shape (..., A)
        Dew points in the warmest hours. [°C]
    night_temperature_degc : array_like, shape (..., N)
        Temperatures of the night. [°C]

    Returns
    -------
    ndarray of float64, shape (...)
        Negative: the air cools below the crossover temperature; from −1.7 K on, with little
        mixing, the method expects fog (that number from memory). Missing hours are left
        out; with none left, NaN. [K]

    Raises
    ------
    MissingDataError
        If there are no hours at all.

    References
    ----------
    .. [1] R. Baker, J. Cramer, J. Peters, Radiation fog: UPS Airlines conceptual models and
       forecast methods, 10th Conf. Aviation, Range and Aerospace Meteorology, AMS (2002), 5.11.
    """
    dew_point = np.asarray(afternoon_dew_point_degc, dtype=np.float64)
    temperature = np.asarray(night_temperature_degc, dtype=np.float64)
    if dew_point.shape[-1:] in {(), (0,)} or temperature.shape[-1:] in {(), (0,)}:
        raise MissingDataError("The crossover needs hours of the afternoon and of the night.")
    least = [np.fmin.reduce(row, axis=-1) for row in (temperature, dew_point)]
    return np.asarray(least[0] - least[1])


def barrow_clearance_hour_utc(month: int) -> int:
    """Hour at which ordinary radiation fog clears in Britain, by the month.

    Parameters
    ----------
    month : int
        1 to 12.

    Returns
    -------
    int
        Hour UTC; deeper or wider fog goes later.

    References
    ----------
    .. [1] F. Barrow's rule, as told on a forecaster's public page of fog cases.
    """
    require_range("month", month, 1, 12)
    return month if month >= 6 else 12 - month


def inversion_heat_jm2(
    depth_m: ArrayLike,
    *,
    strength_k: ArrayLike,
    density_kgm3: float = 1.25,
    heat_capacity_jkgk: float = 1005.0,
    shape: str = "triangular",
) -> FloatArray:
    """Heat that the ground must give to the air before an inversion is gone.

    Parameters
    ----------
    depth_m : array_like, broadcasting to S
        Depth of the inversion. [m]
    strength_k : array_like, broadcasting to S
        How much warmer its top is. [K]
    density_kgm3, heat_capacity_jkgk : float
        Of the air. [kg/m³, J/(kg K)]
    shape : str
        "triangular" (warming evenly with height, half the product) or "rectangular" (a step).

    Returns
    -------
    ndarray of float64, shape S
        Heat. [J/m²]

    Raises
    ------
    BadInputError
        If ``shape`` is not known.

    References
    ----------
    .. [1] E. Gold, area on a tephigram as heat (1933); first law.
    """
    if shape not in _SHAPES:
        raise BadInputError(f"An inversion is {' or '.join(_SHAPES)}, not {shape!r}.")
    product = np.asarray(depth_m, dtype=np.float64) * np.asarray(strength_k, dtype=np.float64)
    return np.asarray(_SHAPES[shape] * density_kgm3 * heat_capacity_jkgk * product)


def stratus_base_m(spread_k: ArrayLike, *, warming: bool = True) -> FloatArray:
    """Height of the low cloud into which fog lifts, above the ground where it was read.

    Parameters
    ----------
    spread_k : array_like, shape S
        Temperature minus dew point; below 0 gives NaN. [K]
    warming : bool
        True while land warms (350 ft a kelvin), False while it cools (450 ft a kelvin).

    Returns
    -------
    ndarray of float64, shape S
        Height above ground. [m]

    References
    ----------
    .. [1] Forecasters' practice, read at third hand.
    """
    spread = np.asarray(spread_k, dtype=np.float64)
    spread = np.where(spread >= 0.0, spread, np.nan)
    return np.asarray(spread * (350.0 if warming else 450.0) * _FEET_M)
