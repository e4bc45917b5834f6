"""One table for every forecast: hourly in UTC, one member or many, NaN where nothing was said."""

from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np

from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.basis.errors import BadInputError, MissingDataError

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
)


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
                f"The forecast from {self.source} covers {self.utc[0]} to {self.utc[-1]} UTC, "
                f"not {start_utc} to {end_utc}; fetch or type a newer one."
            )
        changed: dict[str, Any] = {name: getattr(self, name)[:, keep] for name in QUANTITIES}
        return replace(self, utc=self.utc[keep], **changed)

    def at(self, utc: UtcArray, quantity: str) -> FloatArray:
        """Interpolate a quantity to other instants, straight between hours.

        Parameters
        ----------
        utc : ndarray of datetime64, shape (S,)
            Instants asked for.
        quantity : str
            One of :data:`QUANTITIES`.

        Returns
        -------
        ndarray of float64, shape (M, S)
            NaN outside the forecast's span and beside a missing hour.
        """
        seconds = (self.utc - self.utc[0]) / np.timedelta64(1, "s")
        asked = (utc - self.utc[0]) / np.timedelta64(1, "s")
        values: FloatArray = getattr(self, quantity)
        return np.stack(
            [np.interp(asked, seconds, row, left=np.nan, right=np.nan) for row in values]
        )


def single(
    utc: UtcArray,
    source: str,
    *,
    latitude_deg: float | None = None,
    longitude_deg: float | None = None,
    issued_utc: np.datetime64 | None = None,
    ground_height_m: float | None = None,
    **quantities: FloatArray,
) -> Ensemble:
    """Build an ensemble from rows or one row of some quantities; the others become NaN.

    Parameters
    ----------
    utc : ndarray of datetime64, shape (T,)
        Instants.
    source : str
        Who made it.
    latitude_deg, longitude_deg, ground_height_m, issued_utc
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
        **filled,
    )


FIELDS = tuple(field.name for field in fields(Ensemble))
