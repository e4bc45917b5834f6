"""Sun against skyline at any instants: how far the upper limb stands above it.

The limb is taken over the middle of the disc. Beside a steep step of the skyline (a cliff, a
near trunk) a sliver of the disc's side may therefore show up to a minute before or after.
"""

from dataclasses import dataclass

import numpy as np

from shivelight.basis.arrays import BoolArray, FloatArray, UtcArray
from shivelight.basis.errors import MissingDataError
from shivelight.basis.places import Position
from shivelight.land.skyline import Skyline
from shivelight.sky.events import find_crossings
from shivelight.sky.refraction import COOL_DAWN, AirColumn, apparent_altitude_deg
from shivelight.sky.sun import place_of, sun_disc

TOLERANCE_S = 1.0
"""How closely the passage of the limb is closed in on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """A spot's skyline as the sun meets it.

    Attributes
    ----------
    skyline : Skyline
        Of the place where the light is wanted.
    position : Position
        Of that place.
    air : AirColumn
        For refraction.
    unknown_as_level : bool
        Whether unknown bearings count as a level horizon. Otherwise they are refused where it
        matters.
    """

    skyline: Skyline
    position: Position
    air: AirColumn = COOL_DAWN
    unknown_as_level: bool = False


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SunOverEdge:
    """The sun and the skyline beneath it at S instants.

    Attributes
    ----------
    centre_deg, azimuth_deg : ndarray of float64, shape S
        Apparent altitude of the disc's centre, and its true azimuth. [°]
    limb_over_deg : ndarray of float64, shape S
        Apparent altitude of the upper limb less the skyline's there; nought or more is light. [°]
    width_deg : ndarray of float64, shape S
        Apparent height of the disc, flattened by refraction. [°]
    is_assumed : ndarray of bool, shape S
        Where an unknown bearing counts as level and the limb stands above the level horizon.
    """

    centre_deg: FloatArray
    azimuth_deg: FloatArray
    limb_over_deg: FloatArray
    width_deg: FloatArray
    is_assumed: BoolArray


def sun_over_edge(edge: Edge, utc: UtcArray) -> SunOverEdge:
    """Place the sun against the skyline.

    Parameters
    ----------
    edge : Edge
        Skyline and place.
    utc : ndarray of datetime64, shape S
        Instants.

    Returns
    -------
    SunOverEdge

    Raises
    ------
    MissingDataError
        If the sun's limb stands above the level horizon where the skyline is not known, unless
        ``edge.unknown_as_level``.
    """
    true_deg, azimuth_deg, half_deg = sun_disc(utc, **place_of(edge.position))
    upper_deg = apparent_altitude_deg(true_deg + half_deg, air=edge.air)
    over_deg, unknown = _over_skyline(edge, azimuth_deg, upper_deg)
    return SunOverEdge(
        centre_deg=apparent_altitude_deg(true_deg, air=edge.air),
        azimuth_deg=azimuth_deg,
        limb_over_deg=over_deg,
        width_deg=upper_deg - apparent_altitude_deg(true_deg - half_deg, air=edge.air),
        is_assumed=unknown,
    )


def limb_over_deg(edge: Edge, utc: UtcArray) -> FloatArray:
    """Upper limb less skyline, as in :class:`SunOverEdge`, by the shortest way [°], shape S."""
    true_deg, azimuth_deg, half_deg = sun_disc(utc, **place_of(edge.position))
    upper_deg = apparent_altitude_deg(true_deg + half_deg, air=edge.air)
    return _over_skyline(edge, azimuth_deg, upper_deg)[0]


def lit_spans(
    edge: Edge, start_utc: np.datetime64, end_utc: np.datetime64, *, step_s: float
) -> tuple[UtcArray, UtcArray]:
    """Find all direct light of a span.

    Parameters
    ----------
    edge : Edge
        Skyline and place.
    start_utc, end_utc : datetime64
        The span.
    step_s : float
        Distance of the samples; light and shade shorter than this may be missed. [s]

    Returns
    -------
    starts, ends : ndarray of datetime64[us], shape (n,)
        Of each stretch of light, in order, cut by the span.

    Raises
    ------
    MissingDataError
        As :func:`sun_over_edge`.
    BadInputError
        If the span runs backward.
    """

    def over(utc: UtcArray) -> FloatArray:
        return limb_over_deg(edge, utc)

    found = find_crossings(over, start_utc, end_utc, step_s=step_s, tolerance_s=TOLERANCE_S)
    starts, ends = found.utc[found.is_rising], found.utc[~found.is_rising]
    if found.is_up_at_start:
        starts = np.concatenate([[start_utc.astype("datetime64[us]")], starts])
    if starts.size > ends.size:
        ends = np.append(ends, end_utc.astype("datetime64[us]"))
    return starts, ends


def _over_skyline(
    edge: Edge, azimuth_deg: FloatArray, upper_deg: FloatArray
) -> tuple[FloatArray, BoolArray]:
    """Upper limb less the skyline, and where an unknown bearing that matters counts as level."""
    height_deg = edge.skyline.at(azimuth_deg)
    if edge.skyline.is_whole:
        return np.asarray(upper_deg - height_deg), np.zeros(upper_deg.shape, dtype=np.bool_)
    no_height = np.isnan(height_deg)
    # Below the level horizon an unknown bearing cannot matter: nothing lower is assumed there.
    unknown = no_height & (upper_deg > 0.0)
    if unknown.any() and not edge.unknown_as_level:
        raise _unknown_bearings(azimuth_deg[unknown])
    return np.asarray(upper_deg - np.where(no_height, 0.0, height_deg)), unknown


def _unknown_bearings(azimuth_deg: FloatArray) -> MissingDataError:
    """Name the bearings at which the sun met an unknown skyline."""
    degrees = np.unique(np.floor(azimuth_deg).astype(np.int64) % 360)
    gaps = np.flatnonzero(np.diff(degrees) > 2)
    first = [int(one) for one in degrees[np.concatenate([[0], gaps + 1])]]
    last = [int(one) + 1 for one in degrees[np.concatenate([gaps, [degrees.size - 1]])]]
    spans = " and ".join(f"{low}° to {high}°" for low, high in zip(first, last, strict=True))
    return MissingDataError(
        f"The skyline is not known at bearings {spans}, where the sun stands in this span. Type "
        "its height there, use a ground raster, or ask for unknown bearings to count as level."
    )
