"""Usual stand types: how leafy, when in leaf, how still, what to look out for."""

import numpy as np
from numpy.typing import ArrayLike

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import NotFoundError, require_range
from shivelight.wood._stands_table import STANDS, StandType
from shivelight.wood.canopy import Canopy

__all__ = [
    "YEAR_D",
    "StandType",
    "canopy_of",
    "find_stand",
    "leaf_area_index",
    "leaf_share_frac",
    "stand_names",
    "wind_share_frac",
]

YEAR_D = 365.25


def stand_names() -> tuple[str, ...]:
    """Names of all stand types."""
    return tuple(stand.name for stand in STANDS)


def find_stand(name: str) -> StandType:
    """Look a stand type up by its name.

    Parameters
    ----------
    name : str
        As in :func:`stand_names`; capitals and spaces for hyphens do not matter.

    Raises
    ------
    NotFoundError
        With the list of names.
    """
    asked = name.strip().lower().replace("-", " ")
    for stand in STANDS:
        if asked in (stand.name.replace("-", " "), *stand.also):
            return stand
    known = ", ".join(stand_names())
    raise NotFoundError(f"There is no stand type {name!r}; the known ones are {known}.")


def leaf_share_frac(
    stand: StandType, *, day_of_year: ArrayLike, latitude_deg: float
) -> FloatArray:
    """How much of its leaf a stand bears through the year.

    Parameters
    ----------
    stand : StandType
        Which.
    day_of_year : array_like, shape S
        1 to 366.
    latitude_deg : float
        South of the equator the year is moved by half. [°]

    Returns
    -------
    ndarray of float64, shape S
        0 bare to 1 in full leaf, smooth: up from flush to full, down from turning to bare. Real
        years are a week or more early or late.
    """
    require_range("latitude", latitude_deg, -90.0, 90.0, "°")
    day = np.asarray(day_of_year, dtype=np.float64)
    if stand.evergreen:
        return np.where(np.isnan(day), np.nan, 1.0)
    turned = day + (YEAR_D / 2.0 if latitude_deg < 0.0 else 0.0)
    turned = np.mod(turned - 1.0, YEAR_D) + 1.0
    up = _smooth((turned - stand.flush_day) / (stand.full_day - stand.flush_day))
    down = _smooth((turned - stand.turning_day) / (stand.bare_day - stand.turning_day))
    return np.asarray(up * (1.0 - down))


def _smooth(share: FloatArray) -> FloatArray:
    held = np.clip(share, 0.0, 1.0)
    return np.asarray(held * held * (3.0 - 2.0 * held))


def leaf_area_index(
    stand: StandType, *, day_of_year: ArrayLike, latitude_deg: float
) -> FloatArray:
    """Leaf area of a stand on a day; parameters as :func:`leaf_share_frac` [m²/m²]."""
    share = leaf_share_frac(stand, day_of_year=day_of_year, latitude_deg=latitude_deg)
    return np.asarray(stand.leaf_area_index * share)


def wind_share_frac(
    stand: StandType, *, day_of_year: ArrayLike, latitude_deg: float
) -> FloatArray:
    """Share of the open 10 m wind at leaf height in the stand, between leafy and bare."""
    share = leaf_share_frac(stand, day_of_year=day_of_year, latitude_deg=latitude_deg)
    return np.asarray(
        stand.wind_bare_frac + (stand.wind_in_leaf_frac - stand.wind_bare_frac) * share
    )


def canopy_of(
    stand: StandType,
    *,
    day_of_year: float,
    latitude_deg: float,
    edge_distance_m: float | None = None,
    lens_height_m: float = 1.4,
) -> Canopy:
    """Canopy over a spot inside a stand on one day.

    Parameters
    ----------
    stand : StandType
        Which.
    day_of_year, latitude_deg : float
        When and where. [d], [°]
    edge_distance_m : float, optional
        How far the crowns reach toward the light; None when the wood goes on. [m]
    lens_height_m : float
        Lens above the ground. [m]
    """
    leaves = leaf_area_index(stand, day_of_year=day_of_year, latitude_deg=latitude_deg)
    return Canopy(
        plant_area_index=float(leaves) + stand.wood_area_index,
        base_height_m=stand.crown_base_m,
        top_height_m=stand.crown_top_m,
        edge_distance_m=edge_distance_m,
        lens_height_m=lens_height_m,
    )
