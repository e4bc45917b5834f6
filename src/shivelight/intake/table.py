"""A forecast or observations as a table (CSV), with the units in the header's names.

::

    time,temperature_degc,dew_point_degc,wind_speed_mph,cloud_cover_percent
    2027-11-02T18:00+00:00,7.1,4.6,4,80

Commas, semicolons (then a decimal comma is understood) or tabs. Lines that begin with ``#``
are left out. Empty cells, ``-``, ``M`` and ``NA`` are missing values.
"""

import csv
import datetime as dt
import re
from typing import Any

import numpy as np

from shivelight.air.forecast import Ensemble, single, with_missing_hours
from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.basis.errors import BadInputError, MissingDataError, UnreadableFileError
from shivelight.basis.instants import from_datetime, to_utc
from shivelight.intake.series import (
    checked_times,
    dew_point_from_humidity,
    moment_from,
    text_from,
)
from shivelight.intake.units import KINDS, converted, plain

SOURCE = "The table"

_NAMES = {
    "temperature": "temperature_degc", "temp": "temperature_degc", "t": "temperature_degc",
    "airtemperature": "temperature_degc", "temperature2m": "temperature_degc",
    "dewpoint": "dew_point_degc", "dew": "dew_point_degc", "td": "dew_point_degc",
    "dewpoint2m": "dew_point_degc", "dewpointtemperature": "dew_point_degc",
    "relativehumidity": "relative_humidity_frac", "humidity": "relative_humidity_frac",
    "rh": "relative_humidity_frac", "relativehumidity2m": "relative_humidity_frac",
    "wind": "wind_speed_mps", "windspeed": "wind_speed_mps", "windspeed10m": "wind_speed_mps",
    "gust": "wind_gust_mps", "gusts": "wind_gust_mps", "windgust": "wind_gust_mps",
    "windgusts": "wind_gust_mps", "windgusts10m": "wind_gust_mps",
    "cloud": "cloud_cover_frac", "cloudcover": "cloud_cover_frac",
    "totalcloud": "cloud_cover_frac",
    "lowcloud": "low_cloud_frac", "cloudcoverlow": "low_cloud_frac",
    "rain": "precipitation_mm", "precipitation": "precipitation_mm",
    "precip": "precipitation_mm", "rainfall": "precipitation_mm",
    "pressure": "pressure_hpa", "pressuremsl": "pressure_hpa", "mslp": "pressure_hpa",
    "msl": "pressure_hpa", "sealevelpressure": "pressure_hpa",
    "visibility": "visibility_m", "vis": "visibility_m",
}  # fmt: skip
_TIME_NAMES = {"time", "utc", "timeutc", "datetime", "timestamp", "validtime", "valid", "date"}
# What is taken when a header states no unit; the others have no one usual unit.
_USUAL = {
    "temperature_degc": "degc",
    "dew_point_degc": "degc",
    "relative_humidity_frac": "%",
    "precipitation_mm": "mm",
    "pressure_hpa": "hpa",
}
_UNITS = sorted({unit for units in KINDS.values() for unit in units}, key=len, reverse=True)
_MISSING = {"", "-", "m", "na", "n/a", "nan", "null", "none"}


def read_table(payload: bytes | str, *, zone_name: str | None = None) -> Ensemble:
    """Read a table of weather.

    Parameters
    ----------
    payload : bytes or str
        The text.
    zone_name : str, optional
        IANA name of the zone whose clock the times were read from, where they do not state
        their offset (``Z``, ``+01:00``, or a time column named ``utc``).

    Returns
    -------
    Ensemble
        One member.

    Raises
    ------
    UnreadableFileError
        If it is no table.
    MissingDataError
        If a needed column is not there, or there are no rows.
    BadInputError
        If units, times, zone or values make no sense.
    """
    header, records = _records(text_from(payload, SOURCE))
    columns = _columns(header)
    time_columns = [i for i, name in enumerate(header) if _bare(name) in _TIME_NAMES]
    _refuse_without(columns, time_columns, header)
    utc = checked_times(_times(header, records, time_columns, zone_name), SOURCE)
    rows: dict[str, FloatArray] = {}
    for quantity, (index, unit) in columns.items():
        values = np.array([_value(cells, index, header[index], line) for line, cells in records])
        stated = unit or _usual(quantity, header[index])
        if not unit:
            _refuse_fahrenheit(quantity, values)
        rows[quantity] = converted(quantity, values, stated, source=SOURCE)
    quantities: dict[str, Any] = {
        name: row[0]
        for name, row in dew_point_from_humidity(
            {name: row[None, :] for name, row in rows.items()}
        ).items()
    }
    return with_missing_hours(single(utc, "a table", **quantities))


def unknown_columns(payload: bytes | str) -> tuple[str, ...]:
    """Name the columns of a table of weather that :func:`read_table` makes nothing of.

    Parameters
    ----------
    payload : bytes or str
        The text.

    Returns
    -------
    tuple of str
        As the header writes them; a column without a name by its number.

    Raises
    ------
    UnreadableFileError, MissingDataError, BadInputError
        As :func:`read_table`.
    """
    header, _ = _records(text_from(payload, SOURCE))
    return tuple(
        name or f"column {index + 1}, without a name"
        for index, name in enumerate(header)
        if _bare(name) not in _TIME_NAMES and _quantity(name)[0] is None
    )


def _records(text: str) -> tuple[list[str], list[tuple[int, list[str]]]]:
    """Split into the header's cells and the numbered rows of cells."""
    lines = [
        (number, line)
        for number, line in enumerate(text.splitlines(), start=1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    if not lines:
        raise UnreadableFileError("The table is empty; it needs a header line and rows.")
    mark = max(",;\t", key=lines[0][1].count)
    if mark not in lines[0][1]:
        raise UnreadableFileError(
            "The table's first line is no header of several columns, such as "
            "'time,temperature_degc,dew_point_degc,wind_speed_mps'."
        )
    try:
        cells = [next(csv.reader([line], delimiter=mark, strict=True)) for _, line in lines]
    except csv.Error as why:
        raise UnreadableFileError(f"The table cannot be read: {why}.") from why
    if mark == ";":
        cells = [cells[0], *([cell.replace(",", ".") for cell in row] for row in cells[1:])]
    header = [cell.strip() for cell in cells[0]]
    rows = [(number, row) for (number, _), row in zip(lines[1:], cells[1:], strict=True)]
    if not rows:
        raise MissingDataError("The table has a header but no rows.")
    for number, row in rows:
        if len(row) != len(header):
            raise BadInputError(
                f"Line {number} of the table has {len(row)} cells; the header has {len(header)}."
            )
    return header, rows


def _bare(name: str) -> str:
    return re.sub(r"[^a-z0-9]", "", name.lower())


def _columns(header: list[str]) -> dict[str, tuple[int, str]]:
    """Find each quantity's column and its stated unit ("" where none is)."""
    found: dict[str, tuple[int, str]] = {}
    for index, name in enumerate(header):
        quantity, unit = _quantity(name)
        if quantity is None:
            continue
        if quantity in found:
            raise BadInputError(
                f"The table has two columns of {plain(quantity)}: "
                f"{header[found[quantity][0]]!r} and {name!r}."
            )
        found[quantity] = (index, unit)
    return found


def _quantity(name: str) -> tuple[str | None, str]:
    """Understand "temperature_degf", "Wind speed (mph)", "rh %" as quantity and unit."""
    inside = re.fullmatch(r"(.+?)\s*[\[(]([^\])]*)[\])]\s*", name)
    if inside:
        return _NAMES.get(_bare(inside[1])), inside[2].strip()
    if _bare(name) in _NAMES and "%" not in name:
        return _NAMES[_bare(name)], ""
    low = name.lower().strip()
    for unit in _UNITS:
        for mark in ("_", " "):
            if low.endswith(mark + unit) and _bare(low[: -len(unit)]) in _NAMES:
                return _NAMES[_bare(low[: -len(unit)])], unit
    return None, ""


def _usual(quantity: str, name: str) -> str:
    if quantity in _USUAL:
        return _USUAL[quantity]
    units = ", ".join(sorted(KINDS[quantity]))
    raise BadInputError(
        f"The column {name!r} does not state its unit; write it behind the name, "
        f"as in '{quantity}'. Understood are {units}."
    )


def _refuse_without(
    columns: dict[str, tuple[int, str]], time_columns: list[int], header: list[str]
) -> None:
    missing = []
    if not time_columns:
        missing.append("time")
    if "temperature_degc" not in columns:
        missing.append("temperature_degc")
    if not {"dew_point_degc", "relative_humidity_frac"} & columns.keys():
        missing.append("dew_point_degc (or relative_humidity_percent)")
    if missing:
        raise MissingDataError(
            f"The table has no column {' and no '.join(missing)}; "
            f"its columns are {', '.join(header)[:200]}."
        )


def _value(cells: list[str], index: int, name: str, line: int) -> float:
    cell = cells[index].strip()
    if cell.lower() in _MISSING:
        return np.nan
    try:
        value = float(cell)
    except ValueError:
        raise BadInputError(
            f"Line {line} of the table has {cell[:20]!r} under {name!r}, not a number."
        ) from None
    if not np.isfinite(value):
        return np.nan
    return value


def _refuse_fahrenheit(quantity: str, values: FloatArray) -> None:
    """Where no unit is stated, refuse what is far likelier to be degrees Fahrenheit.

    Dew points over 30 °C and temperatures over 45 °C are so rare where there are woods that
    the stated unit is asked for (a judgement).
    """
    most = {"temperature_degc": 45.0, "dew_point_degc": 30.0}.get(quantity, np.inf)
    worst = np.nanmax(values, initial=-np.inf)
    if most < worst < 150.0:
        raise BadInputError(
            f"The table's {plain(quantity)} of {worst:g} looks like degrees Fahrenheit; "
            f"name the unit in the header ({quantity.rsplit('_', 1)[0]}_degf, or …_degc)."
        )


def _times(
    header: list[str],
    records: list[tuple[int, list[str]]],
    time_columns: list[int],
    zone_name: str | None,
) -> UtcArray:
    """Instants of the rows; date and time may stand in two columns."""
    in_utc = any("utc" in _bare(header[index]) for index in time_columns)
    moments = []
    for line, cells in records:
        text = " ".join(cells[index].strip() for index in time_columns)
        moment = moment_from(text.replace(" ", "T", 1))
        if moment is None:
            raise BadInputError(
                f"Line {line} of the table has the time {text[:40]!r}; "
                "write it as 2027-11-03T06:00+00:00."
            )
        moments.append(moment.replace(tzinfo=dt.UTC) if in_utc and not moment.tzinfo else moment)
    if zone_name is None and any(moment.tzinfo is None for moment in moments):
        raise BadInputError(
            "The table's times do not state their zone; end each with Z or +01:00, name the "
            "column time_utc, or give the zone of the clock they were read from (--zone "
            "Europe/London)."
        )
    return _instants(moments, zone_name or "UTC")


def _instants(moments: list[dt.datetime], zone_name: str) -> UtcArray:
    """Turn clock times into instants; of an hour shown twice, the first row is the earlier."""
    seen: set[dt.datetime] = set()
    twice = {one for one in moments if one in seen or seen.add(one)}  # type: ignore[func-returns-value]
    utc = []
    met: set[dt.datetime] = set()
    for moment in moments:
        if moment.tzinfo is not None:
            utc.append(from_datetime(moment))
        elif moment in twice:
            utc.append(to_utc(moment, zone_name, fold=1 if moment in met else 0))
        else:
            utc.append(to_utc(moment, zone_name))
        met.add(moment)
    return np.array(utc)
