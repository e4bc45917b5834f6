"""Acceptance scenes of the trade notes, end to end over a real field book."""

import datetime as dt
import re
from pathlib import Path

import numpy as np
import pytest

from shivelight.basis.chances import FEWEST_FOR_A_RATE
from shivelight.basis.instants import clock, to_local
from shivelight.outing.arrive import Answers
from shivelight.outing.found import Found
from shivelight.workbench.bench import Workbench
from shivelight.workbench.demo import typed
from shivelight.workbench.demo_valley import MORNING, valley
from shivelight.workbench.sheet import WordAsked
from tests.workbench.conftest import ZONE, opened

EVENING = "2027-11-02T21:40"


# Scene 1: at 21:40 the evening before.


def test_the_demo_evening_puts_light_through_mist_first_and_quiet_mist_second(book: Path) -> None:
    with opened(book, EVENING) as bench:
        morning = bench.judge(day=MORNING)[0]
    assert len(morning.spots) == 8
    assert [one.spot for one in morning.spots[:2]] == ["White Post Gap", "Plumb and Lean"]
    first, second = morning.spots[:2]
    assert first.clears_utc is not None
    assert second.clears_utc is not None
    # DEMO 6.4, "How exact": the limb passes 2 degrees at 07:38 and 9 degrees at 08:36.
    assert clock(first.clears_utc, ZONE) == "07:38"
    assert clock(second.clears_utc, ZONE) == "08:36"
    assert morning.go


def test_every_spot_has_its_reasons_and_what_they_rest_on(book: Path) -> None:
    with opened(book, EVENING) as bench:
        morning = bench.judge(day=MORNING)[0]
    for one in morning.spots:
        assert one.signs.for_it or one.signs.against_it
        assert "mist model" in one.rests_on
    assert all(one.signs.not_known for one in morning.spots[:2])
    assert morning.spots[0].signs.would_change


def test_the_wood_s_own_record_stands_beside_the_chance(book: Path) -> None:
    with opened(book, EVENING) as bench:
        morning = bench.judge(day=MORNING)[0]
    record = morning.spots[0].record
    assert record is not None
    assert (record.found, record.mornings) == (4, 9)
    assert any("4 of 9 mornings" in sign for sign in morning.spots[0].signs.for_it)


def test_plan_b_is_within_a_walk_and_plan_c_is_another_wood(book: Path) -> None:
    with opened(book, EVENING) as bench:
        morning = bench.judge(day=MORNING)[0]
    assert morning.plan_b is not None
    assert morning.plan_b.walk_min is not None
    assert morning.plan_b.walk_min <= 35.0
    assert morning.plan_c is not None
    assert morning.plan_c.wood != morning.spots[0].wood


def test_no_percentage_is_said_anywhere(book: Path, tmp_path: Path) -> None:
    with opened(book, EVENING) as bench:
        morning = bench.judge(day=MORNING)[0]
        sheet = bench.write_sheet(MORNING, tmp_path, pdf=False)
        word = bench.leave_word(MORNING, tmp_path, WordAsked(who="Orla", contact="her sister"))
    said = [morning.answer, *morning.cautions, word.text]
    for one in morning.spots:
        signs = one.signs
        said += [*signs.for_it, *signs.against_it, *signs.not_known, *signs.would_change]
    assert not [text for text in said if "%" in text or "per cent" in text]
    visible = re.sub(r"<(style|script).*?</\1>|<[^>]+>", "", sheet.html.read_text(), flags=re.S)
    assert "%" not in visible


def test_what_was_said_is_kept_as_it_was_given(book: Path) -> None:
    with opened(book, EVENING) as bench:
        given = bench.judge(day=MORNING)[0]
        kept = bench.judged(MORNING)
    assert kept.answer == given.answer
    assert [one.chance_frac for one in kept.spots] == [one.chance_frac for one in given.spots]
    assert kept.spots[0].signs == given.spots[0].signs


# Scene 3: the sheet opens from disk with nothing else.


def test_the_sheet_is_one_file_that_asks_for_nothing_outside(book: Path, tmp_path: Path) -> None:
    with opened(book, EVENING) as bench:
        bench.judge(day=MORNING, mornings=1)
        sheet = bench.write_sheet(MORNING, tmp_path, pdf=False)
    text = sheet.html.read_text(encoding="utf-8")
    assert sheet.pdf is None
    assert not re.search(r"""(?:src|href)\s*=\s*["'](?!data:|#)""", text)
    assert not re.search(r"url\((?!['\"]?data:|['\"]?#)", text)
    assert "White Post Gap" in text
    assert "Old Chair" not in text  # class never: not on a sheet that may be found


# Scene 6: the leave-word card holds today's area only.


def test_the_leave_word_card_holds_today_s_area_and_no_other(book: Path, tmp_path: Path) -> None:
    with opened(book, EVENING) as bench:
        bench.judge(day=MORNING, mornings=1)
        bench.take(MORNING)
        word = bench.leave_word(
            MORNING, tmp_path, WordAsked(who="Orla Penwarne", car="green estate", contact="sister")
        )
    assert "BACK BY 11:00" in word.text
    assert "13:00" in word.text
    assert "Pinnet Heath" in word.text
    assert "White Post Gap" in word.text
    for other in ("Sallowden", "Ottermire", "Coldshaw", "Hagbarrow", "Old Chair", "Two Waters"):
        assert other not in word.text
    assert word.text_file.read_text(encoding="utf-8") == word.text


# Scene 8: a skyline typed by hand-spans, and the gorge's dark season.


def test_fourteen_heights_by_hand_span_give_light_on_any_date(spots: Workbench) -> None:
    lines = [f"{bearing}: 2 fists 1 finger" for bearing in range(60, 200, 10)]
    report = spots.set_skyline_by_hand("Old Chair", lines)
    assert report.highest_deg == pytest.approx(21.0)
    assert report.unknown == ((190.5, 59.5),)
    answer = spots.light_on("Old Chair", dt.date(2027, 6, 21))
    assert answer.at_subject
    assert any("not known" in line for line in answer.cautions)


def test_the_gorge_has_its_dark_season(spots: Workbench) -> None:
    # DEMO "How exact": a gorge skyline of 28 degrees is dark from 17 October to 24 February;
    # the first day is 18 October in years when the sun grazes it on the 17th.
    season = spots.dark_season("Rope and Fern", 2026)
    assert season.spans == ((dt.date(2026, 10, 17), dt.date(2027, 2, 24)),)
    later = spots.dark_season("Rope and Fern", 2027)
    assert later.spans == ((dt.date(2027, 10, 18), dt.date(2028, 2, 24)),)


def test_the_change_of_clocks_never_moves_the_instant(spots: Workbench) -> None:
    before = spots.light_on("White Post Gap", dt.date(2027, 10, 30)).at_subject[0].start_utc
    after = spots.light_on("White Post Gap", dt.date(2027, 10, 31)).at_subject[0].start_utc
    later_s = float((after - before) / np.timedelta64(1, "s")) - 86_400.0
    assert 60.0 < later_s < 180.0  # the sun comes about two minutes later each day then
    earlier = to_local(before, ZONE).replace(tzinfo=None) + dt.timedelta(days=1)
    on_the_clock = earlier - to_local(after, ZONE).replace(tzinfo=None)
    hour_less = dt.timedelta(hours=1) - dt.timedelta(seconds=later_s)
    assert abs(on_the_clock - hour_less) < dt.timedelta(seconds=1)


# Scene 10: the log and its counts.


def test_ten_mornings_of_the_log_show_as_counts(spots: Workbench) -> None:
    first = dt.date(2027, 10, 1)
    assert spots.counts("Pinnet Heath").words.endswith("too few to say more")
    for number in range(10):
        spots.log_found(
            Found(
                day=first + dt.timedelta(days=number), wood="Pinnet Heath",
                mist="good" if number % 3 == 0 else "none", air="still", light="back",
                leaf="turning",
            )
        )  # fmt: skip
    page = spots.wood("Pinnet Heath")
    assert len(page.logs) == 10
    # Nothing was said before them, so nothing is compared.
    assert page.counts.said.mornings + page.counts.unsaid.mornings == 0


def test_said_against_found_after_the_valley_s_evenings(book: Path) -> None:
    with opened(book, EVENING) as bench:
        counts = bench.counts("Pinnet Heath")
    total = counts.said.mornings + counts.unsaid.mornings
    assert total == 9 >= FEWEST_FOR_A_RATE
    assert counts.said.found + counts.unsaid.found == 4


# Scene 13: plan A is dead on arrival.


def test_a_clear_still_frost_sends_one_to_the_hoar(book: Path) -> None:
    evening = next(one for one in valley().evenings if one["at"].date() == dt.date(2028, 1, 13))
    day = dt.date(2028, 1, 14)
    with opened(book, "2028-01-13T21:00") as bench:
        bench.enter_evening(typed(evening))
        bench.judge(day=day, mornings=1)
    with opened(book, "2028-01-14T06:55") as bench:
        arrival = bench.arrive(
            day, Answers(mist="none", air="still", light="clear", ground="hoar"),
            here="White Post Gap",
        )  # fmt: skip
    first = arrival.choices[0]
    assert first.spot == "Breath of the Bottom"
    assert round(first.walk_min) == 22
    assert "hoar falls soon after sun on it: 09:0" in first.why
    assert arrival.lifting == ()  # no mist was seen that could lift


def test_what_is_seen_at_sunrise_moves_the_lifting(book: Path) -> None:
    with opened(book, EVENING) as bench:
        bench.judge(day=MORNING, mornings=1)
    with opened(book, "2027-11-03T07:25") as bench:
        lifts = {
            mist: bench.arrive(MORNING, Answers(mist=mist, air="still", light="clear")).lifting
            for mist in ("thin", "good", "thick")
        }
    firsts = [times[0] for times in lifts.values()]
    assert firsts == sorted(firsts)
    assert firsts[0] < firsts[-1]
