"""Is the wood inside the cloud? Hill fog, told apart from the fog of a clear calm night."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import require_range

METRES_PER_K = 125.0  # Espy; M. G. Lawrence, Bull. Amer. Meteor. Soc. 86, 225 (2005), from memory


def cloud_base_m(station_height_m: ArrayLike, spread_k: ArrayLike) -> FloatArray:
    """Height above the sea at which stirred air forms cloud.

    Parameters
    ----------
    station_height_m : array_like, broadcasting to S
        Height above the sea of the place for which the values hold. [m]
    spread_k : array_like, broadcasting to S
        Temperature minus dew point there; below 0 counts as 0. [K]

    Returns
    -------
    ndarray of float64, shape S
        125 m above the station for each kelvin. Only for air that wind or cloud keeps stirred,
        never under a clear, calm inversion. [m]

    References
    ----------
    .. [1] M. G. Lawrence, Bull. Amer. Meteor. Soc. 86, 225-233 (2005).
    """
    spread = np.maximum(np.asarray(spread_k, dtype=np.float64), 0.0)
    return np.asarray(np.asarray(station_height_m, dtype=np.float64) + METRES_PER_K * spread)


@dataclass(frozen=True, slots=True, kw_only=True)
class HillFogModel:
    """Limits of the hill-fog chance; all a judgement, not scored on records.

    Attributes
    ----------
    base_sd_m : float
        Standard error of the base worked out from a perfect spread. [m]
    calm_mps, stirred_mps : float
        At the first 10 m wind the air is not stirred at all, from the second on wholly. [m/s]
    open_frac, closed_frac : float
        Low cloud (or all cloud, where only that is known) that gives no layer, and a full one.
    least_layer_frac : float
        Share that stays with no low cloud forecast: a moist wind makes its cap on the hill.
    most_frac : float
        The chance never exceeds this.
    """

    base_sd_m: float = 70.0
    calm_mps: float = 1.5
    stirred_mps: float = 3.5
    open_frac: float = 0.3
    closed_frac: float = 0.7
    least_layer_frac: float = 0.2
    most_frac: float = 0.9

    def __post_init__(self) -> None:
        require_range("error of the cloud base", self.base_sd_m, 1.0, 1000.0, "m")
        require_range(
            "wind that stirs the air", self.stirred_mps, self.calm_mps + 0.1, 30.0, "m/s"
        )
        require_range("cloud that makes a layer", self.closed_frac, self.open_frac + 0.01, 1.0)
        require_range("least share of a layer", self.least_layer_frac, 0.0, 1.0)
        require_range("greatest chance", self.most_frac, 0.0, 1.0)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HillFog:
    """Hill fog at one wood.

    Attributes
    ----------
    chance_frac : ndarray, shape (M, T)
        Chance that the wood stands in cloud; NaN where spread, wind or cloud is missing.
    base_m : ndarray, shape (M, T)
        Height of the cloud base above the sea, were the air stirred. [m]
    stirred_frac : ndarray, shape (M, T)
        How far the air is stirred: at 0 any fog is of the valley (it lies below and the wood
        may stand above it), at 1 any fog is cloud on the hill.
    """

    chance_frac: FloatArray
    base_m: FloatArray
    stirred_frac: FloatArray


def hill_fog_share(
    spread_k: ArrayLike,
    *,
    wind_speed_mps: ArrayLike,
    layer_cloud_frac: ArrayLike,
    station_height_m: float,
    wood_height_m: float,
    model: HillFogModel | None = None,
) -> HillFog:
    """Chance, for each member and time, that a wood stands inside the cloud.

    Parameters
    ----------
    spread_k : array_like, shape (M, T)
        Temperature minus dew point at the place of the forecast. [K]
    wind_speed_mps : array_like, shape (M, T)
        At 10 m. [m/s]
    layer_cloud_frac : array_like, shape (M, T)
        Low cloud; see :func:`layer_cloud`.
    station_height_m, wood_height_m : float
        Heights above the sea of the forecast's place and of the wood. [m]
    model : HillFogModel, optional
        Limits.

    Returns
    -------
    HillFog
        The chance is that of a base below the wood, times how stirred the air is, times how
        much of a cloud layer there is. In clear calm air it is 0 whatever the spread: the fog
        of such a night is the mist model's, and lies in the valley.

    Raises
    ------
    OutOfRangeError
        If a height is beyond any on Earth.
    """
    from scipy.special import ndtr  # noqa: PLC0415  a third of a second, only where it is asked

    require_range("height of the station", station_height_m, -500.0, 9000.0, "m")
    require_range("height of the wood", wood_height_m, -500.0, 9000.0, "m")
    limits = model or HillFogModel()
    base_m = cloud_base_m(station_height_m, spread_k)
    wind = np.asarray(wind_speed_mps, dtype=np.float64)
    stirred = np.clip((wind - limits.calm_mps) / (limits.stirred_mps - limits.calm_mps), 0.0, 1.0)
    cloud = np.asarray(layer_cloud_frac, dtype=np.float64)
    layer = np.clip((cloud - limits.open_frac) / (limits.closed_frac - limits.open_frac), 0.0, 1.0)
    layer = limits.least_layer_frac + (1.0 - limits.least_layer_frac) * layer
    inside = np.asarray(ndtr((wood_height_m - base_m) / limits.base_sd_m), dtype=np.float64)
    return HillFog(
        chance_frac=np.asarray(limits.most_frac * inside * stirred * layer),
        base_m=base_m,
        stirred_frac=np.asarray(np.broadcast_to(stirred, np.shape(inside * stirred * layer))),
    )


def layer_cloud(low_cloud_frac: ArrayLike, cloud_cover_frac: ArrayLike) -> FloatArray:
    """Low cloud where it is known, else all cloud: high cloud alone makes no hill fog.

    Parameters
    ----------
    low_cloud_frac, cloud_cover_frac : array_like, shapes that broadcast to S
        0 to 1.

    Returns
    -------
    ndarray of float64, shape S
        Where only all cloud is known the chance of hill fog is judged too high by high cloud.
    """
    low = np.asarray(low_cloud_frac, dtype=np.float64)
    return np.asarray(np.where(np.isfinite(low), low, cloud_cover_frac), dtype=np.float64)
