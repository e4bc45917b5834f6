"""Compare a value of ours with a row of the check tables, by the row's own tolerance."""

import datetime as dt
import json
import math
import re
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Row:
    """One published value: what goes in, what should come out, and how near."""

    id: str
    section: str
    topic: str
    inputs: dict[str, Any]
    expected: str
    unit: str
    tolerance: str
    tolerance_kind: str
    source: str


def row_from(record: dict[str, str]) -> Row:
    return Row(
        id=record["id"],
        section=record["section"],
        topic=record["topic"],
        inputs=json.loads(record["inputs"]),
        expected=record["expected"],
        unit=record["unit"],
        tolerance=record["tol"],
        tolerance_kind=record["tol_kind"],
        source=record["source"],
    )


def fault(got: Any, row: Row) -> str | None:
    """Say how ``got`` misses the row, or None when it does not."""
    expected = _parsed(row.expected)
    if isinstance(expected, dict):
        return _first(_fault_of(got[key], value, row, key) for key, value in expected.items())
    if isinstance(expected, list):
        if len(got) != len(expected):
            return f"{len(got)} values, expected {len(expected)}"
        return _first(
            _fault_of(mine, value, row, str(index))
            for index, (mine, value) in enumerate(zip(got, expected, strict=True))
        )
    return _fault_of(got, expected, row, "")


def _parsed(text: str) -> Any:
    try:
        return json.loads(text)
    except json.JSONDecodeError:
        return text


def _first(faults: Any) -> str | None:
    return next((one for one in faults if one), None)


def _fault_of(got: Any, expected: Any, row: Row, key: str) -> str | None:
    if isinstance(expected, str):
        moment = _moment(expected)
        if moment is None or got in {None, "none"}:
            wanted = None if expected == "none" else expected
            same = (None if got in {None, "none"} else got) == wanted
            return None if same else f"{key} {got!r}, expected {expected!r}".strip()
        mine = _moment(str(got))
        if mine is None:
            return f"{key} {got!r} is no time".strip()
        off_s = abs((mine - moment).total_seconds())
        return None if off_s <= _tolerance(row, key) else f"{key} off by {off_s:.1f} s".strip()
    if math.isinf(float(expected)):
        return None if float(got) == float(expected) else f"{key} {got}, expected {expected}"
    limit = _tolerance(row, key) * (abs(expected) if row.tolerance_kind == "rel" else 1.0)
    off = abs(float(got) - float(expected))
    return None if off <= limit * (1 + 1e-9) else f"{key} {got} off {expected} by {off:g}".strip()


def _moment(text: str) -> dt.datetime | None:
    if re.fullmatch(r"\d\d:\d\d:\d\d(\.\d+)?", text):
        text = f"2000-01-01T{text}"
    try:
        moment = dt.datetime.fromisoformat(text)
    except ValueError:
        return None
    return moment.replace(tzinfo=None)


def _tolerance(row: Row, key: str) -> float:
    """Half-printed tolerances such as "0.1 nT, 0.01 deg" name one limit for each unit."""
    text = row.tolerance
    if "|lat|>65" in text:
        return 60.0 if abs(float(row.inputs["lat"])) > 65.0 else 10.0
    if "for Karney" in text:
        return 0.01 if key == "dist_m" else 0.2
    if "nT" in text:
        return 0.01 if key == "D" else 0.1
    if "km" in text and "deg" in text:
        return 40.0 if key.endswith("_km") else 0.001
    if text == "exact":
        return 0.0
    return float(text.split()[0])
