"""Figures of a spot's light, wishes over its year, rows of a skyline, drafts of spots."""

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from shivelight.basis.errors import BadInputError, NotFoundError, OutOfRangeError
from shivelight.light.year import SUN, Carpet
from shivelight.outing.wishes import Wish, parse_wish
from shivelight.workbench.bench import Workbench
from shivelight.workbench.sketch import SkylineRow
from shivelight.workbench.wish_light import wanted_days, wanted_sun
from tests.drawing.light_figures import carpet
from tests.intake.photographs import CAMERA, FIX, photo

GAP = "White Post Gap"
DAY = dt.date(2027, 11, 3)
LEAF = ("bare",) * 120 + ("full",) * 160 + ("turning",) * 85


def wishes(*words: str, must: bool = True) -> tuple[Wish, ...]:
    return tuple(parse_wish(one, must=must) for one in words)


def year() -> Carpet:
    made = carpet()
    sun = np.where(made.state == SUN, 4.0, -3.0)
    return replace(made, altitude_deg=sun, off_view_deg=np.full(sun.shape, 40.0))


def test_direct_light_is_wanted_where_the_sun_is(spots: Workbench) -> None:
    one = year()
    met = wanted_sun(one, wishes("direct light"), leaf=LEAF)
    assert met is not None
    assert np.array_equal(met, one.state == SUN)


def test_soft_light_and_mist_limit_nothing_of_the_sun() -> None:
    asked = wishes("soft light", "mist 60 to 160 m", "still air")
    assert wanted_sun(year(), asked, leaf=LEAF) is None


def test_the_side_and_the_height_of_the_sun_count_as_in_the_judgement() -> None:
    def count(*words: str) -> int:
        met = wanted_sun(year(), wishes(*words), leaf=LEAF)
        return -1 if met is None else int(met.sum())

    assert count("back light") == count("direct light") > 0
    assert count("side light") == count("front light") == 0
    assert count("sun 2 to 6 deg") == count("direct light")
    assert count("sun 5 to 6 deg") == 0


def test_musts_alone_count_unless_there_are_none() -> None:
    both = (*wishes("direct light"), *wishes("side light", must=False))
    likes = wishes("side light", must=False)
    met = wanted_sun(year(), both, leaf=LEAF)
    alone = wanted_sun(year(), likes, leaf=LEAF)
    assert met is not None
    assert met.any()
    assert alone is not None
    assert not alone.any()


def test_season_and_leaf_choose_the_days() -> None:
    one = year()
    days = wanted_days(one, wishes("from 20 Dec to 10 Jan"), leaf=LEAF)
    assert int(days.sum()) == 22
    leaf = wanted_days(one, wishes("leaf turning"), leaf=LEAF)
    assert np.array_equal(np.flatnonzero(leaf), np.arange(280, 365))


def test_a_day_is_drawn_with_words_readings_and_numbers(spots: Workbench) -> None:
    figure = spots.light_figure(GAP, DAY)
    assert "clears 07:38" in figure.page
    assert "21 Dec, clears" in figure.page
    assert "clears 07:38" in figure.phone
    assert figure.sentence.startswith("Clears at 07:38 over 118° true, inside the frame")
    assert len(figure.readings) == 360
    assert len(figure.rows) == 72
    assert len(figure.headers) == 5


def test_taps_on_both_rolls_find_the_same_reading(spots: Workbench) -> None:
    figure = spots.light_figure(GAP, DAY)
    assert figure.page_left_px == 48.0
    assert figure.page_right_px == 8.0
    assert figure.phone_left_px < 0.0  # the phone shows a part of the turn
    assert figure.phone_right_px < 0.0


def test_a_year_says_when_its_wishes_can_be_met(spots: Workbench) -> None:
    made = spots.spot_year("Coupe Four", 2027, chosen=DAY)
    assert made.spans == ((dt.date(2027, 4, 20), dt.date(2027, 5, 12)),)
    assert made.asks_days
    assert not made.asks_sun
    assert ">3 Nov<" in made.figure.page


def test_a_dark_valley_has_its_dark_season(spots: Workbench) -> None:
    made = spots.spot_year("Rope and Fern", 2027)
    assert len(made.dark.spans) == 1
    first, last = made.dark.spans[0]
    assert (first.month, last.year) == (10, 2028)
    assert not made.asks_sun


@pytest.mark.parametrize("name", [GAP, "Rope and Fern"])
def test_the_dark_season_beside_a_carpet_is_the_one_worked_out_alone(
    spots: Workbench, name: str
) -> None:
    assert spots.spot_year(name, 2027).dark == spots.dark_season(name, 2027)


def test_a_year_follows_a_change_of_the_spot(spots: Workbench) -> None:
    before = spots.spot_year(GAP, 2027)
    spots.change_spot(GAP, wishes=wishes("direct light", "sun 80 to 85 deg"))
    after = spots.spot_year(GAP, 2027)
    assert before.spans
    assert after.spans == ()
    assert after.longest_min == 0


def test_years_beyond_the_ephemeris_are_refused(spots: Workbench) -> None:
    with pytest.raises(OutOfRangeError, match="year is 2150"):
        spots.spot_year(GAP, 2150)


def test_rows_are_kept_by_bearing_whatever_their_order(spots: Workbench) -> None:
    rows = [
        SkylineRow(bearing="120", height="1 fist 2 fingers"),
        SkylineRow(bearing="", height=""),
        SkylineRow(bearing="ESE", height="4,5"),
        SkylineRow(bearing="95: 3", height=""),
    ]
    spots.set_skyline_rows(GAP, rows)
    kept = [(one.azimuth_deg, one.altitude_deg) for one in spots.spot(GAP).sights]
    assert kept == [(95.0, 3.0), (112.5, 4.5), (120.0, 13.0)]


def test_only_magnetic_rows_are_turned_to_true(spots: Workbench) -> None:
    rows = [
        SkylineRow(bearing="90", height="3"),
        SkylineRow(bearing="120", height="4", is_magnetic=True),
    ]
    spots.set_skyline_rows(GAP, rows)
    first, second = spots.spot(GAP).sights
    assert first.azimuth_deg == 90.0
    assert second.azimuth_deg != 120.0
    assert abs(second.azimuth_deg - 120.0) < 5.0


def test_a_row_that_is_not_read_is_named_and_nothing_is_kept(spots: Workbench) -> None:
    before = spots.spot(GAP).sights
    rows = [SkylineRow(bearing="90", height="3"), SkylineRow(bearing="100", height="a thumb")]
    with pytest.raises(BadInputError, match="Line 2: The height 'a thumb' is not read"):
        spots.set_skyline_rows(GAP, rows)
    assert spots.spot(GAP).sights == before


def test_no_rows_leave_nothing_typed(spots: Workbench) -> None:
    report = spots.set_skyline_rows(GAP, [])
    assert spots.spot(GAP).sights == ()
    assert report.origin == "level"


def test_the_sketch_has_what_is_typed(spots: Workbench) -> None:
    sketch = spots.sketch(GAP, DAY)
    assert sketch.page.count("<circle") > 24
    assert "24 typed heights." in sketch.page
    assert spots.worked_skyline(GAP) is None


def test_a_mark_is_confirmed_today(spots: Workbench) -> None:
    before = spots.spot(GAP).mark
    after = spots.confirm_mark(GAP).mark
    assert after.last_confirmed == dt.date(2027, 11, 2)
    assert after.transits == before.transits


def test_a_draft_is_made_again_from_the_kept_file(spots: Workbench) -> None:
    data = photo(main={}, camera=CAMERA, fix=FIX, size_px=(64, 48))
    first = spots.spot_from_photo(data)
    again = spots.spot_draft(first.picture.id)
    assert again == first
    with pytest.raises(NotFoundError):
        spots.spot_draft(999)
