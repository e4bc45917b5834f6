"""Rows of ``sun.csv`` whose inputs alone do not say what is asked: the id, unit or value does."""

import pytest

from tests.published.compare import Row, fault
from tests.published.test_checks import ROWS
from tests.published.topics_sun import TOPICS_BY_ROW


@pytest.mark.parametrize(
    "row",
    [row for row in ROWS if row.section == "sun" and row.topic in TOPICS_BY_ROW],
    ids=lambda row: row.id,
)
def test_row(row: Row, published_tally: dict[str, int]) -> None:
    published_tally["checked"] += 1
    asked = {**row.inputs, "row_id": row.id, "unit": row.unit, "expected": row.expected}
    try:
        why = fault(TOPICS_BY_ROW[row.topic](asked), row)
    except BaseException:
        published_tally["failed"] += 1
        raise
    published_tally["failed"] += why is not None
    assert why is None, f"{row.id} ({row.topic}): {why}; source: {row.source}"
