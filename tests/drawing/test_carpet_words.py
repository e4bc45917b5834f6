"""A carpet in words: spans, readings, its table, and how it is drawn for page and phone."""

import datetime as dt

import numpy as np
import pytest

from shivelight.drawing.carpet import hours_drawn, season_carpet_svg
from shivelight.drawing.carpet_words import (
    carpet_readings,
    carpet_table,
    longest_min,
    met_words,
    spans_of,
    spans_words,
)
from shivelight.drawing.leaf_row import LeafYear
from tests.drawing.light_figures import carpet

ZONE = "UTC"
LEAF = ("bare",) * 120 + ("full",) * 245


@pytest.mark.parametrize(
    ("chosen", "spans"),
    [
        ([], ()),
        ([False, False], ()),
        ([True], ((0, 0),)),
        ([True, True, False, True], ((0, 1), (3, 3))),
    ],
)
def test_spans_are_the_runs_of_true(
    chosen: list[bool], spans: tuple[tuple[int, int], ...]
) -> None:
    assert spans_of(np.array(chosen, dtype=np.bool_)) == spans


def test_a_span_of_one_day_is_one_day_and_all_days_are_every_day() -> None:
    year = carpet()
    chosen = np.zeros(365, dtype=np.bool_)
    chosen[3] = True
    chosen[30:33] = True
    assert spans_words(year, chosen) == "4 January, and 31 January to 2 February"
    assert spans_words(year, np.ones(365, dtype=np.bool_)) == "every day"


def test_wanted_sun_is_told_to_the_end_of_its_last_row() -> None:
    year = carpet()
    met = np.zeros(year.state.shape, dtype=np.bool_)
    met[0, 32:36] = True  # four rows of a quarter hour from 08:00
    met[0, 40] = True
    assert met_words(year, met, 0) == "08:00–09:00 and 10:00–10:15"
    assert longest_min(year, met)[:2] == (60, 0)


def test_readings_say_light_sun_wish_and_leaf() -> None:
    year = carpet()
    met = np.zeros(year.state.shape, dtype=np.bool_)
    met[0, 36:40] = True
    lines = carpet_readings(year, zone_name=ZONE, met=met, leaf=LEAF)
    assert len(lines) == 122
    assert lines[0] == (
        "1 January: light from about 07:30; sun here from 09:00 until 09:00; "
        "as wanted 09:00–10:00; leaf usually bare."
    )
    assert "never as wanted" in lines[1]
    assert lines[100].endswith("leaf usually in full leaf.")


def test_without_light_or_wish_nothing_is_made_up() -> None:
    lines = carpet_readings(carpet(dark=True), zone_name=ZONE)
    assert lines[0] == "1 January: light from about 07:30; no sun here."
    headers, rows = carpet_table(carpet(dark=True), zone_name=ZONE)
    assert headers == ("day", "light from", "first sun", "last sun")
    assert rows[0] == ("1 January", "07:30", "none", "")


def test_the_table_has_a_row_for_each_column() -> None:
    year = carpet()
    met = np.zeros(year.state.shape, dtype=np.bool_)
    headers, rows = carpet_table(year, zone_name=ZONE, met=met, leaf=LEAF)
    assert len(headers) == 6
    assert {len(row) for row in rows} == {6}
    assert len(rows) == 122


def test_hours_follow_the_sun_that_is_wanted() -> None:
    year = carpet()
    assert hours_drawn(year, None) == (240, 660)
    met = np.zeros(year.state.shape, dtype=np.bool_)
    met[:, 72] = True  # 18:00
    first, after = hours_drawn(year, met)
    assert first <= 18 * 60 < after


def test_a_narrow_carpet_has_a_letter_a_month_and_no_title() -> None:
    leaf = LeafYear(stages=LEAF, is_sure=(True,) * 365)
    narrow = season_carpet_svg(
        carpet(), title="White Post Gap", zone_name=ZONE, style="narrow", leaf=leaf,
        chosen=dt.date(2027, 12, 31),
    )  # fmt: skip
    assert 'width="358"' in narrow
    assert ">J<" in narrow
    assert ">White Post Gap<" not in narrow
    assert ">31 Dec<" in narrow
    assert ">full leaf<" in narrow
