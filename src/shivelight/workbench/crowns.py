"""Crowns round a spot: worked out once from its wood's rasters, then in the leaf of each day."""

import logging
import time
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from shivelight.basis.places import Position
from shivelight.light.beams import Crowned
from shivelight.outing.kept import RasterNote, StoredCrowns
from shivelight.outing.spots import Spot
from shivelight.outing.woods import Wood
from shivelight.wood.canopy import Canopy
from shivelight.wood.crowns import CrownTable
from shivelight.wood.stands import StandType, canopy_of, find_stand

AZIMUTH_STEP_DEG = 2.0
ALTITUDES_DEG = (
    0.5, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 60.0, 80.0,
)  # fmt: skip
"""Close together where the sun is low, which is when pictures are made. [°]"""
REACH_M = 3_000.0
"""How far crowns are read; those farther off belong in the skyline. [m]"""
SAME_PLACE_DEG = 1e-6
"""Positions that differ by less, a tenth of a metre, are one place. [°]"""
UNSEEN_LEAST_M = 1.0
OPEN_GROUND_TREES = "mixed"
"""Stand type of trees in a wood that is noted as open: heaths and glades have some too."""

_log = logging.getLogger(__name__)


def crowns_from_rasters(
    notes: Sequence[RasterNote],
    wood: Wood,
    position: Position,
    *,
    eye_height_m: float,
    seen_from: str,
    made_utc: np.datetime64,
) -> StoredCrowns | None:
    """Work out what crowns stand round a place; None when the wood has no raster of them.

    Parameters
    ----------
    notes : sequence of RasterNote
        Of the wood: its ground, and its canopy or else its surface (tree tops, and roofs, which
        count as crowns).
    wood : Wood
        For where its crowns begin, by stand type.
    position : Position
        The stand point or the subject.
    eye_height_m : float
        Above the ground there. [m]
    seen_from : {"stand point", "subject"}
        Which of the two it is.
    made_utc : datetime64
        The present.

    Raises
    ------
    ShivelightError
        If a raster cannot be read or does not cover the place.
    """
    from shivelight.intake.elevation import read_canopy, read_ground  # noqa: PLC0415  loads GDAL
    from shivelight.land.beams import Crowns, canopy_above, crown_path  # noqa: PLC0415  compiler

    kind = next((one for one in ("canopy", "surface") if _of(notes, one)), None)
    if kind is None:
        return None
    start = time.monotonic()
    ground, tops = (
        reader(
            [Path(note.path) for note in _of(notes, which)],
            around=position,
            radius_m=REACH_M,
            height_unit=_of(notes, which)[0].height_unit or None,
            crs=next((note.crs for note in _of(notes, which) if note.crs), None),
        )
        for reader, which in (
            (read_ground, "ground"), (read_canopy if kind == "canopy" else read_ground, kind),
        )
    )  # fmt: skip
    heights = tops if kind == "canopy" else canopy_above(ground, tops)
    stand = _stand_of_crowns(wood)
    base_frac = stand.crown_base_m / stand.crown_top_m
    azimuth_deg = np.arange(0.0, 360.0, AZIMUTH_STEP_DEG)
    altitude_deg = np.array(ALTITUDES_DEG)
    found = crown_path(
        ground,
        Crowns(heights=heights, base_frac=base_frac),
        position=position,
        azimuth_deg=azimuth_deg[:, None],
        altitude_deg=altitude_deg,
        eye_height_m=eye_height_m,
    )
    _log.info("crowns round the %s in %.2f s", seen_from, time.monotonic() - start)
    return StoredCrowns(
        azimuth_deg=azimuth_deg,
        altitude_deg=altitude_deg,
        path_m=np.round(found.path_m, 2),  # a centimetre; the march is no better than its step
        unseen_m=np.round(found.unseen_m, 2),
        made_utc=made_utc,
        seen_from=seen_from,
        parameters={
            "files": "; ".join(Path(note.path).name for note in _of(notes, kind)),
            "kind": kind,
            "stand": stand.name,
            "base_frac": f"{base_frac:.3f}",
            "eye_height_m": f"{eye_height_m:g}",
            "latitude_deg": f"{position.latitude_deg:.7f}",
            "longitude_deg": f"{position.longitude_deg:.7f}",
        },
    )


def canopy_over(
    spot: Spot, wood: Wood, utc: np.datetime64, *, kept: StoredCrowns | None = None
) -> Crowned | None:
    """Crowns between a spot and the sun on a day.

    Parameters
    ----------
    spot, wood : Spot, Wood
        Where; the wood's stand type says how leafy the day is.
    utc : datetime64
        An instant of the day.
    kept : StoredCrowns, optional
        Crowns worked out for this place.

    Returns
    -------
    CrownTable, Canopy or None
        What was worked out comes first; then an even layer of the wood's stand where the spot is
        said to be under crowns; else the open.
    """
    if kept is None:
        return _layer(spot, find_stand(wood.stand), utc) if spot.under_canopy else None
    layer = _layer(spot, _stand_of_crowns(wood), utc)
    return CrownTable(
        azimuth_deg=kept.azimuth_deg,
        altitude_deg=kept.altitude_deg,
        path_m=kept.path_m,
        leaf_area_per_m=layer.plant_area_index / (layer.top_height_m - layer.base_height_m),
        unseen_m=kept.unseen_m,
    )


def stands_at(kept: StoredCrowns, position: Position) -> bool:
    """Whether crowns were worked out for this very place."""
    there = [float(kept.parameters.get(key, "nan")) for key in ("latitude_deg", "longitude_deg")]
    here = position.latitude_deg, position.longitude_deg
    return bool(np.allclose(here, there, atol=SAME_PLACE_DEG, rtol=0.0))


def crowns_words(kept: StoredCrowns) -> str:
    """Say which crowns dim the sun at a spot, and how low they are known."""
    said = f"crowns from {kept.parameters.get('files', 'a raster')} dim the sun"
    whole = (kept.unseen_m < UNSEEN_LEAST_M).all(axis=0)
    partly = kept.altitude_deg[~whole]
    if not partly.size:
        return said
    return (
        f"{said}; below {_next_above(kept, float(partly.max())):g}° some beams run off that "
        "raster, and crowns there are not counted"
    )


def _next_above(kept: StoredCrowns, altitude_deg: float) -> float:
    higher = kept.altitude_deg[kept.altitude_deg > altitude_deg]
    return float(higher[0]) if higher.size else 90.0


def _stand_of_crowns(wood: Wood) -> StandType:
    """Stand type of the trees that a raster shows; mixed where the wood is noted as open."""
    stand = find_stand(wood.stand)
    return stand if stand.wood_area_index > 0.0 else find_stand(OPEN_GROUND_TREES)


def _layer(spot: Spot, stand: StandType, utc: np.datetime64) -> Canopy:
    """Even layer of a stand on a day."""
    day = utc.astype("datetime64[D]")
    return canopy_of(
        stand,
        day_of_year=float((day - day.astype("datetime64[Y]")).astype(int) + 1),
        latitude_deg=spot.position.latitude_deg,
        lens_height_m=spot.lens_height_m,
    )


def _of(notes: Sequence[RasterNote], kind: str) -> list[RasterNote]:
    return [note for note in notes if note.kind == kind]
