"""The main screen: answer first, counts and words, every time on one clock, at 100 and 80."""

import datetime as dt
import re
from dataclasses import replace

import numpy as np
import pytest

from shivelight.basis.chances import Count
from shivelight.cli.say.evening import judgement, outing
from shivelight.outing.judgement import Signs
from shivelight.outing.outings import Outing
from tests.cli.valley_morning import DAY, morning, outlook, week


@pytest.mark.parametrize("width", [60, 80, 100])
def test_no_line_is_wider_than_the_terminal(width: int) -> None:
    assert max(len(line) for line in judgement(week(), width).splitlines()) <= width


def test_the_answer_stands_first_under_the_day_and_its_clock() -> None:
    parts = judgement(week(), 100).split("\n\n")
    assert parts[0] == (
        "Wednesday 3 November 2027, clock of Europe/London (GMT). Clocks went back on Sunday."
    )
    answer, times = parts[1].replace("\n", " ").split(" Alarm ")
    assert answer == morning().answer
    assert times == "05:20, set out 05:55, park 06:35, in place 06:55."


def test_each_coming_morning_is_one_line_with_spot_chance_and_window() -> None:
    told = judgement(week(), 100)
    assert re.search(r"Wed 3 Nov +White Post Gap +about 4 in 10 +07:43–08:00 +go", told)
    assert re.search(r"Fri 5 Nov +Rope and Fern +less than 1 in 20 +none +stay", told)


def test_every_spot_is_ranked_in_one_line_at_80_columns() -> None:
    told = judgement(week(), 80)
    assert re.search(
        r"^1  White Post Gap +Pinnet Heath +about 4 in 10 +07:43–08:00 +17  07:38$", told, re.M
    )
    assert re.search(r"^4  Rope and Fern +Threll Clough +less than 1 in 20 +none", told, re.M)


def test_reasons_are_given_for_three_and_with_all_for_every_spot() -> None:
    three = judgement(week(), 100)
    assert "3. Two Waters" in three
    assert "4. Rope and Fern" not in three
    assert "Reasons for the other spot: add --all." in three
    everything = judgement(week(), 100, all_spots=True)
    assert "4. Rope and Fern, Threll Clough: less than 1 in 20" in everything
    assert "add --all" not in everything


def test_for_against_not_known_and_what_would_change_it_stand_side_by_side() -> None:
    told = judgement((morning(),), 100)
    first = told.split("1. White Post Gap")[1].split("2. Plumb")[0]
    labels = re.findall(r"^  (For|Against|Not known|Would change it) +\S", first, re.M)
    assert labels == ["For", "Against", "Not known", "Would change it"]


def test_a_sign_that_is_empty_says_nothing_instead_of_vanishing() -> None:
    bare = replace(morning(), spots=(replace(morning().spots[0], signs=Signs()),))
    told = judgement((bare,), 100)
    assert len(re.findall(r"(For|Against|Not known|Would change it) +nothing", told)) == 4


def test_times_are_worked_backward_and_none_are_given_without_a_window() -> None:
    told = judgement((morning(),), 100, all_spots=True)
    assert "alarm 05:20, set out 05:55, park 06:35, in place 06:55" in told
    assert "the window ends between 07:39 and 08:12" in " ".join(told.split())
    assert "none: there is no window to be in place for" in told


def test_staying_gives_no_alarm() -> None:
    stay = replace(morning(), go=False, answer="Stay in bed.")
    assert judgement((stay,), 100).split("\n\n")[1] == "Stay in bed."


def test_the_woods_own_record_is_told_once_and_few_are_called_too_few() -> None:
    one = outlook("White Post Gap", "Pinnet Heath", 0.4, ("07:43", "08:00"))
    told = judgement((replace(morning(), spots=(one,)),), 100)
    assert told.count("your own log") == 1
    few = replace(one, signs=Signs(), record=Count(found=1, mornings=3))
    told = judgement((replace(morning(), spots=(few,)),), 100)
    assert "on evenings like this your own log has mist on 1 of 3 mornings, too few to say" in told


def test_plans_walk_cautions_and_sources_close_the_page() -> None:
    told = judgement((morning(),), 100)
    assert "Plan B          Heath Edge, Pinnet Heath (9 min on foot): bare birches" in told
    assert re.search(r"Plan C +none$", told, re.M)
    assert "White Post Gap, 06:55–08:05, after 14 min on foot" in told
    assert "  It is dark until 06:45: a torch and a spare." in told
    assert "typed at the window, under an hour old, 50 members, lacks pressure" in told
    assert told.endswith("judged Tue 2 Nov 21:40")


def test_two_forecasts_are_each_named_with_their_woods() -> None:
    one = morning()
    other = replace(one.forecasts[1][1], source="a service", age_h=30.0, distance_km=12.0)
    told = judgement((replace(one, forecasts=(one.forecasts[0], ("Threll", other))),), 100)
    assert "Pinnet Heath: typed at the window" in told
    assert "Threll: a service, 30 hours old, 50 members, made for a place 12 km away" in told


def test_a_week_over_the_change_of_clocks_names_each_mornings_clock() -> None:
    one = morning()
    before = replace(
        one,
        day=dt.date(2027, 10, 30),
        almanac=replace(one.almanac, sunrise_utc=np.datetime64("2027-10-30T06:14", "us")),
    )
    told = judgement((before, one), 100)
    assert re.search(r"Sat 30 Oct BST +White Post Gap", told)
    assert re.search(r"Wed 3 Nov GMT +White Post Gap", told)


def test_mornings_beyond_the_forecast_and_woods_without_one_are_named() -> None:
    one = replace(morning(), left_out=(("Threll Clough", "No forecast is kept for it."),))
    told = judgement((one,), 100, asked=7)
    assert "Mornings after Wed 3 Nov are not judged: the forecast does not reach them." in told
    assert "Not judged\n  Threll Clough: No forecast is kept for it." in told
    assert "not judged" not in judgement((morning(),), 100, asked=1)


def test_no_bare_percentage_and_no_seconds_appear() -> None:
    told = judgement(week(), 100, all_spots=True)
    assert "%" not in told
    assert not re.search(r"\d\d:\d\d:\d\d", told)


def test_an_outing_says_what_comes_next() -> None:
    told = outing(Outing(day=DAY, woods=("Pinnet Heath",), visits=("White Post Gap",)), 80)
    assert told.startswith("Taken: Wednesday 3 November 2027, Pinnet Heath.")
    assert "shivelight word leave" in told.replace("\n", " ")
