"""One table for every forecast: hourly in UTC, one member or many, NaN where nothing was said."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.basis.errors import BadInputError, MissingDataError
from shivelight.basis.places import Position, distance_and_azimuth

QUANTITIES = (
    "temperature_degc",
    "dew_point_degc",
    "wind_speed_mps",
    "wind_gust_mps",
    "cloud_cover_frac",
    "low_cloud_frac",
    "precipitation_mm",
    "pressure_hpa",
    "visibility_m",
    "fog_area_frac",
)
LONGEST_BRIDGE_H = 3.0
"""Longest gap between two known hours that :meth:`Ensemble.at` bridges (a judgement)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ensemble:
    """A forecast (or a run of observations) for one place.

    Attributes
    ----------
    utc : ndarray of datetime64, shape (T,)
        Instants, strictly rising; hourly unless the source was coarser.
    source : str
        Who made it, in words ("Open-Meteo, ICON ensemble", "typed at 21:40").
    latitude_deg, longitude_deg : float or None
        The place it was made for; None when the source does not say. [°]
    ground_height_m : float or None
        Height of that place in the source's own terrain. [m]
    issued_utc : datetime64 or None
        When it was issued; None when the source does not say.
    temperature_degc, dew_point_degc : ndarray, shape (M, T)
        At 2 m. Dew point over water, also under frost. [°C]
    wind_speed_mps, wind_gust_mps : ndarray, shape (M, T)
        At 10 m in the open. [m/s]
    cloud_cover_frac, low_cloud_frac : ndarray, shape (M, T)
        0 to 1.
    precipitation_mm : ndarray, shape (M, T)
        In the hour before. [mm]
    pressure_hpa : ndarray, shape (M, T)
        At sea level. [hPa]
    visibility_m : ndarray, shape (M, T)
        As the source gives it; never used raw, see docs/mist.md. [m]
    fog_area_frac : ndarray, shape (M, T)
        Share of the area in fog as the source gives it, 0 to 1; a sign beside our own
        chance, never mixed into it.
    stated_sd : mapping of str to ndarray, shape (T,)
        Standard error that the source itself states for a quantity, in the quantity's unit,
        NaN where it states none; :func:`shivelight.air.spread.spread_members` uses it.
    """

    utc: UtcArray
    source: str
    latitude_deg: float | None
    longitude_deg: float | None
    ground_height_m: float | None
    issued_utc: np.datetime64 | None
    temperature_degc: FloatArray
    dew_point_degc: FloatArray
    wind_speed_mps: FloatArray
    wind_gust_mps: FloatArray
    cloud_cover_frac: FloatArray
    low_cloud_frac: FloatArray
    precipitation_mm: FloatArray
    pressure_hpa: FloatArray
    visibility_m: FloatArray
    fog_area_frac: FloatArray
    stated_sd: Mapping[str, FloatArray] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if self.utc.ndim != 1 or self.utc.size == 0:
            raise MissingDataError("The forecast holds no hours; fetch or type it again.")
        if np.any(np.diff(self.utc) <= np.timedelta64(0, "us")):
            raise BadInputError("The forecast's times do not rise one after another.")
        shape = (self.temperature_degc.shape[0], self.utc.size)
        for name in QUANTITIES:
            if getattr(self, name).shape != shape:
                raise BadInputError(
                    f"The forecast's {name} has shape {getattr(self, name).shape}; "
                    f"members and hours make it {shape}."
                )
        for name, row in self.stated_sd.items():
            if name not in QUANTITIES or row.shape != self.utc.shape:
                raise BadInputError(
                    f"The forecast's stated error of {name} does not fit its hours."
                )

    @property
    def members(self) -> int:
        """How many members; 1 for a single forecast."""
        return int(self.temperature_degc.shape[0])

    @property
    def missing(self) -> tuple[str, ...]:
        """Names of the quantities that hold nothing at all."""
        return tuple(name for name in QUANTITIES if not np.isfinite(getattr(self, name)).any())

    def mean(self) -> "Ensemble":
        """Give the mean of the members as a forecast of one member (NaN members are left out)."""
        changed: dict[str, Any] = {}
        for name in QUANTITIES:
            values = getattr(self, name)
            known = np.isfinite(values)
            count = known.sum(axis=0)
            total = np.where(known, values, 0.0).sum(axis=0)
            changed[name] = np.where(count > 0, total / np.maximum(count, 1), np.nan)[None, :]
        return replace(self, **changed)

    def between(self, start_utc: np.datetime64, end_utc: np.datetime64) -> "Ensemble":
        """Keep the hours from ``start_utc`` to ``end_utc``, both included."""
        keep = (self.utc >= start_utc) & (self.utc <= end_utc)
        if not keep.any():
            raise MissingDataError(
                f"The forecast ({self.source}) covers {_minute(self.utc[0])} to "
                f"{_minute(self.utc[-1])} UTC, not {_minute(start_utc)} to {_minute(end_utc)}; "
                "fetch or type a newer one."
            )
        changed: dict[str, Any] = {name: getattr(self, name)[:, keep] for name in QUANTITIES}
        sd = {name: row[keep] for name, row in self.stated_sd.items()}
        return replace(self, utc=self.utc[keep], stated_sd=sd, **changed)

    def told(self) -> "Ensemble":
        """Drop the hours before the first and after the last of which it tells anything.

        Services fill the end of their table with nothing, as far as the days asked for reach. A
        forecast that tells nothing at all stays as it is.
        """
        known = [np.isfinite(getattr(self, name)).any(axis=0) for name in QUANTITIES]
        hours = np.flatnonzero(np.logical_or.reduce(known))
        if hours.size == 0:
            return self
        return self.between(self.utc[hours[0]], self.utc[hours[-1]])

    def issued(self, utc: np.datetime64) -> "Ensemble":
        """Give the same forecast with ``utc`` as its time of issue."""
        return replace(self, issued_utc=utc)

    def age_h(self, now_utc: np.datetime64) -> float | None:
        """Hours since the forecast was issued; None when its source does not say."""
        if self.issued_utc is None:
            return None
        return float((now_utc - self.issued_utc) / np.timedelta64(1, "s")) / 3600.0

    def distance_m(self, position: Position) -> float | None:
        """Distance from ``position`` to the forecast's place; None when it names none."""
        if self.latitude_deg is None or self.longitude_deg is None:
            return None
        place = Position(latitude_deg=self.latitude_deg, longitude_deg=self.longitude_deg)
        return distance_and_azimuth(position, place)[0]

    def at(
        self, utc: UtcArray, quantity: str, *, bridge_h: float = LONGEST_BRIDGE_H
    ) -> FloatArray:
        """Interpolate a quantity to other instants, straight between known hours.

        Parameters
        ----------
        utc : ndarray of datetime64, shape (S,)
            Instants asked for.
        quantity : str
            One of :data:`QUANTITIES`.
        bridge_h : float
            Known hours further apart than this are not joined. [h]

        Returns
        -------
        ndarray of float64, shape (M, S)
            NaN outside the forecast's span, and inside a gap of more than ``bridge_h``.
        """
        second = np.timedelta64(1, "s")
        known_s = (self.utc - self.utc[0]) / second
        asked_s = (np.asarray(utc) - self.utc[0]) / second
        values: FloatArray = getattr(self, quantity)
        if np.isfinite(values).all():
            return _joined(known_s, values, asked_s, bridge_h * 3600.0)
        rows = []
        for row in values:
            known = np.isfinite(row)
            rows.append(
                _joined(known_s[known], row[known][None, :], asked_s, bridge_h * 3600.0)[0]
                if known.any()
                else np.full(asked_s.shape, np.nan)
            )
        return np.stack(rows)


def _joined(
    known_s: FloatArray, values: FloatArray, asked_s: FloatArray, bridge_s: float
) -> FloatArray:
    """Interpolate rows that hold no NaN; NaN outside the span and in gaps over ``bridge_s``."""
    after = np.searchsorted(known_s, asked_s, side="left")
    outside = (after == known_s.size) | (asked_s < known_s[0])
    after = np.minimum(after, known_s.size - 1)
    exact = known_s[after] == asked_s
    before = np.where(exact, after, np.maximum(after - 1, 0))
    gap_s = known_s[after] - known_s[before]
    share = (asked_s - known_s[before]) / np.where(gap_s > 0.0, gap_s, 1.0)
    joined = values[:, before] * (1.0 - share) + values[:, after] * share
    return np.where(outside | (gap_s > bridge_s), np.nan, joined)


def with_missing_hours(forecast: Ensemble) -> Ensemble:
    """Give absent hours of an hourly (or coarser) table a row of NaN, inventing nothing.

    Parameters
    ----------
    forecast : Ensemble
        Any. Where its instants do not all stand at the same minute of the hour (reports at 20
        and 50 past, quarter hours) it is given back as it is.

    Returns
    -------
    Ensemble
        One row an hour from the first instant to the last, or ``forecast`` itself.
    """
    hour = np.timedelta64(1, "h")
    offset = (forecast.utc - forecast.utc[0]) / hour
    index = np.rint(offset).astype(np.int64)
    if not np.allclose(offset, index, atol=1e-6) or index[-1] == index.size - 1:
        return forecast
    utc = forecast.utc[0] + np.arange(index[-1] + 1) * hour
    changed: dict[str, Any] = {}
    for name in QUANTITIES:
        rows = np.full((forecast.members, utc.size), np.nan)
        rows[:, index] = getattr(forecast, name)
        changed[name] = rows
    sd = {}
    for name, row in forecast.stated_sd.items():
        sd[name] = np.full(utc.size, np.nan)
        sd[name][index] = row
    return replace(forecast, utc=utc, stated_sd=sd, **changed)


def single(
    utc: UtcArray,
    source: str,
    *,
    latitude_deg: float | None = None,
    longitude_deg: float | None = None,
    issued_utc: np.datetime64 | None = None,
    ground_height_m: float | None = None,
    stated_sd: Mapping[str, FloatArray] | None = None,
    **quantities: FloatArray,
) -> Ensemble:
    """Build an ensemble from rows or one row of some quantities; the others become NaN.

    Parameters
    ----------
    utc : ndarray of datetime64, shape (T,)
        Instants.
    source : str
        Who made it.
    latitude_deg, longitude_deg, ground_height_m, issued_utc, stated_sd
        See :class:`Ensemble`.
    **quantities : ndarray, shape (T,) or (M, T)
        Any of :data:`QUANTITIES`; members must agree.

    Raises
    ------
    BadInputError
        If a quantity is not known.
    """
    strange = set(quantities) - set(QUANTITIES)
    if strange:
        raise BadInputError(f"A forecast has no quantity named {sorted(strange)[0]!r}.")
    rows = {
        name: np.atleast_2d(np.asarray(row, dtype=np.float64)) for name, row in quantities.items()
    }
    members = max((row.shape[0] for row in rows.values()), default=1)
    empty = np.full((members, utc.size), np.nan)
    filled = {name: rows.get(name, empty) for name in QUANTITIES}
    return Ensemble(
        utc=utc,
        source=source,
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        ground_height_m=ground_height_m,
        issued_utc=issued_utc,
        stated_sd=dict(stated_sd or {}),
        **filled,
    )


def _minute(utc: np.datetime64) -> str:
    """Write an instant to the minute, for sentences."""
    return str(utc.astype("datetime64[m]")).replace("T", " ")
