"""Units of the weather services and of people: everything becomes the core's own at the door."""

import math
from collections.abc import Callable
from typing import TypeAlias

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError

Change: TypeAlias = Callable[[FloatArray], FloatArray]


def _times(factor: float) -> Change:
    return lambda values: np.asarray(values * factor, dtype=np.float64)


# Exact by definition: inch 25.4 mm, foot 0.3048 m, mile 1609.344 m, knot 1852 m/h.
_LENGTHS: dict[str, Change] = {
    "m": _times(1.0), "km": _times(1000.0), "ft": _times(0.3048), "mi": _times(1609.344),
    "mile": _times(1609.344), "sm": _times(1609.344),
}  # fmt: skip
_SPEEDS: dict[str, Change] = {
    "m/s": _times(1.0), "ms": _times(1.0), "mps": _times(1.0), "ms-1": _times(1.0),
    "km/h": _times(1.0 / 3.6), "kmh": _times(1.0 / 3.6), "kph": _times(1.0 / 3.6),
    "mp/h": _times(0.44704), "mph": _times(0.44704),
    "kn": _times(1852.0 / 3600.0), "kt": _times(1852.0 / 3600.0), "kts": _times(1852.0 / 3600.0),
    "knots": _times(1852.0 / 3600.0),
}  # fmt: skip
_WARMTHS: dict[str, Change] = {
    "°c": _times(1.0), "c": _times(1.0), "degc": _times(1.0), "celsius": _times(1.0),
    "°f": lambda values: np.asarray((values - 32.0) / 1.8),
    "f": lambda values: np.asarray((values - 32.0) / 1.8),
    "degf": lambda values: np.asarray((values - 32.0) / 1.8),
    "fahrenheit": lambda values: np.asarray((values - 32.0) / 1.8),
    "k": lambda values: np.asarray(values - 273.15),
    "kelvin": lambda values: np.asarray(values - 273.15),
}  # fmt: skip
_SHARES: dict[str, Change] = {
    "%": _times(0.01), "percent": _times(0.01), "pct": _times(0.01),
    "frac": _times(1.0), "1": _times(1.0),
    "okta": _times(0.125), "oktas": _times(0.125), "eighths": _times(0.125),
    "tenths": _times(0.1),
}  # fmt: skip
_AMOUNTS: dict[str, Change] = {
    "mm": _times(1.0), "inch": _times(25.4), "in": _times(25.4), "cm": _times(10.0),
    "kg/m2": _times(1.0), "kgm-2": _times(1.0),
}  # fmt: skip
_PRESSURES: dict[str, Change] = {
    "hpa": _times(1.0), "mb": _times(1.0), "mbar": _times(1.0), "pa": _times(0.01),
    "kpa": _times(10.0), "inhg": _times(33.8639),
}  # fmt: skip

KINDS: dict[str, dict[str, Change]] = {
    "temperature_degc": _WARMTHS,
    "dew_point_degc": _WARMTHS,
    "wind_speed_mps": _SPEEDS,
    "wind_gust_mps": _SPEEDS,
    "relative_humidity_frac": _SHARES,
    "cloud_cover_frac": _SHARES,
    "low_cloud_frac": _SHARES,
    "fog_area_frac": _SHARES,
    "precipitation_mm": _AMOUNTS,
    "pressure_hpa": _PRESSURES,
    "visibility_m": _LENGTHS,
}
"""Units understood for each quantity, lower case without spaces."""

# Widest believable limits near the ground anywhere on Earth (a judgement, around the records).
_LIMITS: dict[str, tuple[float, float, str]] = {
    "temperature_degc": (-90.0, 60.0, "°C"),
    "dew_point_degc": (-100.0, 40.0, "°C"),
    "wind_speed_mps": (0.0, 110.0, "m/s"),
    "wind_gust_mps": (0.0, 140.0, "m/s"),
    "relative_humidity_frac": (0.0, 1.1, ""),
    "cloud_cover_frac": (0.0, 1.001, ""),
    "low_cloud_frac": (0.0, 1.001, ""),
    "fog_area_frac": (0.0, 1.001, ""),
    "precipitation_mm": (0.0, 500.0, "mm"),
    "pressure_hpa": (850.0, 1100.0, "hPa"),
    "visibility_m": (0.0, 500_000.0, "m"),
}


def converted(quantity: str, values: FloatArray, unit: str, *, source: str) -> FloatArray:
    """Turn values in a stated unit into the core's own, refusing what cannot be.

    Parameters
    ----------
    quantity : str
        One of :data:`KINDS`.
    values : ndarray
        As given; NaN where nothing was said.
    unit : str
        As the source writes it ("mp/h", "°F", "celsius").
    source : str
        Who says so, for the error's sentence.

    Raises
    ------
    BadInputError
        If the unit is not one of the quantity's, or a value lies beyond anything measured.
    """
    known = KINDS[quantity]
    key = "".join(unit.lower().split())
    if key not in known:
        raise BadInputError(
            f"{source} gives {plain(quantity)} in {unit[:20]!r}; "
            f"understood are {', '.join(sorted(known))}."
        )
    made = known[key](np.asarray(values, dtype=np.float64))
    refuse_unbelievable(quantity, made, source=source)
    if quantity in {"cloud_cover_frac", "low_cloud_frac", "fog_area_frac"}:
        made = np.minimum(made, 1.0)
    return made


def refuse_unbelievable(quantity: str, values: FloatArray, *, source: str) -> None:
    """Raise when a value lies beyond anything measured, guessing at the unit that was meant."""
    low, high, unit = _LIMITS[quantity]
    wrong = values[(values < low) | (values > high)]
    if wrong.size == 0:
        return
    worst = float(wrong[np.argmax(np.abs(wrong))])
    gap = f" {unit}" if unit else ""
    raise BadInputError(
        f"{source} gives a {plain(quantity)} of {worst:g}{gap}, beyond {low:g} to {high:g}{gap}"
        f"{_hint(quantity, worst)}."
    )


def _hint(quantity: str, worst: float) -> str:
    if quantity in {"temperature_degc", "dew_point_degc"}:
        if 180.0 < worst < 340.0:
            return "; it looks like kelvin, so name the column's unit (…_k) or take off 273.15"
        if worst > 40.0:
            return "; it looks like degrees Fahrenheit, so name the unit (…_degf)"
    if quantity == "pressure_hpa" and 85_000.0 < worst < 110_000.0:
        return "; it looks like pascals, so name the unit (…_pa)"
    if quantity == "pressure_hpa" and 25.0 < worst < 33.0:
        return "; it looks like inches of mercury, so name the unit (…_inhg)"
    if quantity.endswith("_frac") and worst > 1.0:
        return "; it looks like per cent, so name the unit (…_percent)"
    return "; look at its unit"


def plain(quantity: str) -> str:
    """Name a quantity in words: "dew_point_degc" becomes "dew point"."""
    return quantity.rsplit("_", 1)[0].replace("_", " ")


def numbers(values: object, name: str, *, source: str) -> FloatArray:
    """Turn a JSON list of numbers and nulls into an array, null and infinities as NaN.

    Raises
    ------
    BadInputError
        If it is not a list, or holds something else than numbers and nulls.
    """
    if not isinstance(values, list):
        raise BadInputError(f"{source}'s {name[:60]} is not a list of numbers.")
    row = np.empty(len(values))
    for index, value in enumerate(values):
        row[index] = number(value, name, source=source)
    return row


def number(value: object, name: str, *, source: str) -> float:
    """Turn one JSON number or null into a float, null and infinities as NaN."""
    if value is None:
        return math.nan
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise BadInputError(f"{source}'s {name[:60]} holds {str(value)[:20]!r}, not a number.")
    try:
        real = float(value)
    except OverflowError:
        raise BadInputError(f"{source}'s {name[:60]} holds a number too large to be.") from None
    return real if math.isfinite(real) else math.nan
