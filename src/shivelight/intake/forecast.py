"""One door for every kind of forecast: looks at what came and hands it to its reader."""

import json
import re

import numpy as np

from shivelight.air.forecast import Ensemble
from shivelight.basis.errors import BadInputError, UnreadableFileError
from shivelight.basis.places import Position
from shivelight.intake.series import json_from, text_from

KINDS = ("openmeteo", "metno", "metar", "table")
_REPORT = re.compile(r"(?m)^\s*(?:(?:METAR|SPECI)\s+)?(?:COR\s+)?[A-Z][A-Z0-9]{3}\s+\d{6}Z\b")


def read_forecast(
    payload: bytes | str,
    *,
    kind: str | None = None,
    near: Position | None = None,
    received_utc: np.datetime64 | None = None,
    zone_name: str | None = None,
) -> Ensemble:
    """Read a forecast or observations of any kind that is known.

    Parameters
    ----------
    payload : bytes or str
        As received, fetched, typed or loaded.
    kind : str, optional
        One of :data:`KINDS`; found out from the payload when not given.
    near : Position, optional
        The place it is wanted for: picks one place of several.
    received_utc : datetime64, optional
        When it came. Taken as the time of issue where the payload names none; reports of
        observations need it for their month and year.
    zone_name : str, optional
        Zone of the clock of a table whose times state no offset.

    Returns
    -------
    Ensemble
        One or many members, UTC.

    Raises
    ------
    BadInputError, MissingDataError, UnreadableFileError
        With a sentence that says what is wrong and what would put it right.
    """
    found = kind or kind_of(payload)
    if found not in KINDS:
        raise BadInputError(f"There is no kind of forecast {found!r}; it is {', '.join(KINDS)}.")
    forecast = _read(found, payload, near, received_utc, zone_name).told()
    if forecast.issued_utc is None and received_utc is not None and found != "metar":
        return forecast.issued(received_utc)
    return forecast


def _read(
    kind: str,
    payload: bytes | str,
    near: Position | None,
    received_utc: np.datetime64 | None,
    zone_name: str | None,
) -> Ensemble:
    # Each reader is imported when wanted: the METAR library loads a list of stations.
    if kind == "openmeteo":
        from shivelight.intake.openmeteo import read_openmeteo  # noqa: PLC0415

        return read_openmeteo(payload, near=near)
    if kind == "metno":
        from shivelight.intake.metno import read_metno  # noqa: PLC0415

        return read_metno(payload)
    if kind == "metar":
        from shivelight.intake.metar import read_metar  # noqa: PLC0415

        return read_metar(payload, now_utc=received_utc)
    from shivelight.intake.table import read_table  # noqa: PLC0415

    return read_table(payload, zone_name=zone_name)


def kind_of(payload: bytes | str) -> str:
    """Find out what kind of forecast a payload is.

    Raises
    ------
    UnreadableFileError
        If it is empty or nothing that is known.
    """
    text = text_from(payload, "the forecast")
    start = text.lstrip()[:1]
    if not start:
        raise UnreadableFileError("The forecast is empty; fetch or type it again.")
    if start in "{[":
        return _kind_of_json(text)
    if start == "<":
        raise UnreadableFileError("This is a web page or XML, not a forecast; fetch it again.")
    if _REPORT.search(text):
        return "metar"
    head = text.lstrip().splitlines()[0]
    if any(mark in head for mark in ",;\t") or head.startswith("#"):
        return "table"
    raise UnreadableFileError(
        "This is no forecast that is known: give JSON of Open-Meteo or MET Norway, METAR "
        "reports, or a table (CSV) with a header line."
    )


def _kind_of_json(text: str) -> str:
    answer = json_from(text, "the forecast service")
    first = answer[0] if isinstance(answer, list) and answer else answer
    if isinstance(first, dict):
        inner = first.get("data") if "status_code" in first else first
        if isinstance(inner, dict) and ("properties" in inner or inner.get("type") == "Feature"):
            return "metno"
        if "status_code" in first:
            return "metno"
        if {"hourly", "hourly_units", "error", "utc_offset_seconds"} & first.keys():
            return "openmeteo"
    raise UnreadableFileError(
        f"This JSON is neither Open-Meteo's nor MET Norway's: it begins {json.dumps(answer)[:60]}…"
    )
