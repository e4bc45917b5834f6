"""Every row of the check tables against the public function that its topic names.

``SHIVELIGHT_CHECKS=DIR`` points the same test at other tables with the same columns. The run
ends with one line: ``published checks: N checked, M failed, K not covered``.

A topic is covered by a module ``topics_<section>.py`` beside this file, whose ``TOPICS`` maps
the topic's name to a function of the row's inputs. Where rows share their inputs and only the
id, the unit or the value says what is asked, ``TOPICS_BY_ROW`` does the same with those three
added. A topic in no module is "not covered" and is counted aloud, never passed in silence.
"""

import csv
import importlib
import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.published.compare import Row, fault, row_from

TABLES = Path(os.environ.get("SHIVELIGHT_CHECKS", Path(__file__).parents[1] / "data" / "checks"))
Topic = Callable[[dict[str, Any]], Any]


def _topics() -> dict[tuple[str, str], Topic]:
    found: dict[tuple[str, str], Topic] = {}
    for path in sorted(Path(__file__).parent.glob("topics_*.py")):
        module = importlib.import_module(f"tests.published.{path.stem}")
        section = path.stem.removeprefix("topics_")
        found.update({(section, name): function for name, function in module.TOPICS.items()})
        by_row = getattr(module, "TOPICS_BY_ROW", {})
        found.update({(section, name): function for name, function in by_row.items()})
        BY_ROW.update((section, name) for name in by_row)
    return found


def _rows() -> Iterator[Row]:
    paths = sorted(TABLES.glob("*.csv"))
    if not paths:
        raise FileNotFoundError(f"no check tables (*.csv) in {TABLES}")
    for path in paths:
        with path.open(newline="", encoding="utf-8") as table:
            yield from (row_from(record) for record in csv.DictReader(table))


BY_ROW: set[tuple[str, str]] = set()
COVERED = _topics()
ROWS = list(_rows())


def _asked(row: Row) -> dict[str, Any]:
    if (row.section, row.topic) not in BY_ROW:
        return row.inputs
    return {**row.inputs, "row_id": row.id, "unit": row.unit, "expected": row.expected}


def test_no_topic_of_ours_is_unknown_to_the_tables() -> None:
    named = {(row.section, row.topic) for row in ROWS}
    if "SHIVELIGHT_CHECKS" not in os.environ:
        assert set(COVERED) <= named


@pytest.mark.parametrize(
    "row", [row for row in ROWS if (row.section, row.topic) in COVERED], ids=lambda row: row.id
)
def test_row(row: Row, published_tally: dict[str, int]) -> None:
    published_tally["checked"] += 1
    try:
        why = fault(COVERED[row.section, row.topic](_asked(row)), row)
    except BaseException:
        published_tally["failed"] += 1
        raise
    published_tally["failed"] += why is not None
    assert why is None, f"{row.id} ({row.topic}): {why}; source: {row.source}"
