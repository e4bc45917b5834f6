"""What a sheet and a leave-word card may say: times in order, quiet places, today only."""

import dataclasses
import json

import numpy as np
import pytest

from shivelight.basis.errors import BadInputError
from shivelight.basis.records import to_plain
from shivelight.outing.arrive import ArrivalChoice, ArrivalRow
from shivelight.outing.judgement import Morning, OtherPlan, Visit
from shivelight.outing.kit import Kit, KitLens
from shivelight.outing.marks import MarkAnchors, NotedDistance, NotedTransit
from shivelight.outing.outings import LeaveWord
from shivelight.outing.sheet import LeaveWordCard, OnArrival, SeenLifting, SheetContext
from shivelight.outing.sheet_context import (
    KEPT_OFF_SPOT,
    NO_POSITION,
    Quiet,
    best_subject_distance_m,
    forecast_lines,
    found_lines,
    leave_word_card,
    sheet_context,
)
from shivelight.outing.woods import Privacy, Wood
from tests.drawing import wennick


def made(morning: Morning = wennick.MORNING, **more: object) -> SheetContext:
    return sheet_context(
        morning,
        (wennick.WOODS, wennick.SPOTS),
        arrival=wennick.ARRIVAL,
        word=wennick.WORD,
        **more,  # type: ignore[arg-type]
    )


def test_times_run_in_order_and_name_what_matters() -> None:
    times = made().times
    assert list(times) == sorted(times, key=lambda line: line.utc)
    assert [line.words for line in times] == [
        "alarm clock",
        "leave. Plate on the tripod?",
        "parked; walk 18 min",
        "civil dawn",
        "on the mark, White Post Gap",
        "flat sunrise: not here yet",
        "sun on the spot",
        "mist gone? 07:50 to 08:15",
        "leaf starts to move",
        "back; alarm raised 13:00",
    ]
    assert [line.words for line in times if line.kind == "sun"] == ["sun on the spot"]


def test_staying_in_bed_has_no_alarm_clock() -> None:
    stay = dataclasses.replace(wennick.MORNING, go=False, answer="Stay in bed.")
    assert [line.words for line in made(stay).times] == [
        "civil dawn",
        "flat sunrise",
        "back; alarm raised 13:00",
    ]


def test_a_morning_without_spots_still_makes_a_sheet() -> None:
    empty = dataclasses.replace(
        wennick.MORNING, spots=(), visits=(), go=False, answer="The book holds no spot yet."
    )
    context = made(empty)
    assert context.first is None
    assert context.others == ()
    assert context.layers == ()


def test_window_apart_from_the_mist_gets_its_own_lines() -> None:
    second = dataclasses.replace(wennick.MORNING, spots=(wennick.SECOND,))
    words = [line.words for line in made(second).times]
    assert "all you want, together, from here" in words
    assert "all you want ends: 07:45 to 08:00" in words


def test_mist_that_may_sit_says_so() -> None:
    mist = dataclasses.replace(wennick.FIRST.mist, lifting=(wennick.at("09:00"),))
    first = dataclasses.replace(wennick.FIRST, mist=mist)
    words = [
        line.words for line in made(dataclasses.replace(wennick.MORNING, spots=(first,))).times
    ]
    assert "mist gone? or it may sit all morning" in words


def everything_said(context: SheetContext) -> str:
    return json.dumps(to_plain(context), ensure_ascii=False)


def test_a_spot_of_class_never_is_nowhere_on_the_sheet() -> None:
    loud = dataclasses.replace(
        wennick.MORNING,
        answer="Go to Old Chair in Hagbarrow Old Park; leave at 06:00.",
        plan_b=OtherPlan(spot="Old Chair", wood="Hagbarrow Old Park", walk_min=9.0, words="x"),
        plan_c=OtherPlan(spot="Elsewhere", wood="W", walk_min=None, words="not old chair again"),
    )
    context = made(loud)
    assert "old chair" not in everything_said(context).lower()
    assert context.kept_off == 1
    assert context.answer.startswith(f"Go to {KEPT_OFF_SPOT}")
    assert context.plan_b is None
    assert context.plan_c is not None
    assert context.plan_c.words == f"not {KEPT_OFF_SPOT} again"


def test_a_name_typed_on_purpose_lets_the_spot_out() -> None:
    context = made(let_out=("old chair",))
    assert context.kept_off == 0
    assert "Old Chair" in everything_said(context)


def test_all_spots_of_a_quiet_wood_are_quiet() -> None:
    woods = tuple(
        dataclasses.replace(wood, privacy=Privacy.NEVER) if wood.name == "Ottermire Carr" else wood
        for wood in wennick.WOODS
    )
    said = everything_said(sheet_context(wennick.MORNING, (woods, wennick.SPOTS)))
    assert "Two Waters" not in said
    assert "Ottermire" not in said


def test_a_longer_name_that_holds_a_quiet_one_is_not_cut_up() -> None:
    quiet = Quiet((), wennick.SPOTS)
    assert quiet.words("The Old Chairs are open") == "The Old Chairs are open"
    assert quiet.words("old chair: hoar") == f"{KEPT_OFF_SPOT.capitalize()}: hoar"


@pytest.mark.parametrize(
    "typed",
    [
        "at 53.00120, -5.10340 by the gate",
        "at 53.0012° N, 5.1034° W",
        "at SH 123 456",
        "SH12345678",
    ],
)
def test_positions_in_free_words_are_left_off(typed: str) -> None:
    said = Quiet((), ()).words(typed)
    assert NO_POSITION in said
    assert not any(digits in said for digits in ("5.10", "123", "1234"))


def test_ordinary_numbers_stay() -> None:
    kept = "mist 120 to 260 m, 135 mm, 07:38, 2.5 km, 1.8 °C"
    assert Quiet((), ()).words(kept) == kept


def test_no_position_of_wood_or_spot_is_on_the_sheet() -> None:
    said = everything_said(made())
    assert "latitude" not in said
    assert "53.00" not in said
    assert "5.103" not in said


def test_printed_states_are_taken_from_the_taps_and_said_once() -> None:
    def row(mist: str, light: str, why: str) -> ArrivalRow:
        choice = ArrivalChoice(
            spot="White Post Gap",
            wood="Pinnet Heath",
            walk_min=12.4,
            from_utc=wennick.at("07:38"),
            until_utc=None,
            why=why,
        )
        return ArrivalRow(mist=mist, air="still", light=light, choices=(choice,))

    rows = (
        row("none", "clear", "side light."),
        row("good", "overcast", "quiet mist"),
        row("thick", "overcast", "quiet mist"),
        row("wisps", "broken", "never printed"),
    )
    no = dataclasses.replace(rows[0].choices[0], from_utc=None, why="wants mist: none here")
    none_fits = dataclasses.replace(rows[0], light="overcast", choices=(no,))
    plan = OtherPlan(spot="Far Pines", wood="Pinnet Heath", walk_min=9.0, words="Far Pines.")
    said = found_lines(
        (*rows, none_fits),
        (plan, None),
        zone_name="Europe/London",
        if_not="Stay for the pines.",
    )
    assert said == (
        ("clear, still", "White Post Gap, 12 min, from 07:38: side light"),
        ("mist, cloud; thick", "White Post Gap, 12 min, from 07:38: quiet mist"),
        ("none of these", "Stay for the pines"),
        ("plan B", "Far Pines"),
    )
    other = dataclasses.replace(plan, words="9 min on foot")
    assert found_lines((), (None, other), zone_name="UTC") == (
        ("plan C", "Far Pines: 9 min on foot"),
    )


def test_subject_distance_is_where_the_contrast_gap_is_widest() -> None:
    # Our own calculation, a snapshot: greatest when V is 5.5 D, so about 20 m off at V = 110 m.
    assert best_subject_distance_m(110.0) == pytest.approx(20.0, abs=0.5)
    away_m = np.linspace(1.0, 200.0, 4000)
    gap = 0.05 ** (away_m / 120.0) - 0.05 ** (3.0 * away_m / 120.0)
    assert best_subject_distance_m(120.0) == pytest.approx(away_m[gap.argmax()], abs=0.1)


def test_age_of_the_mark_is_said() -> None:
    first = made().first
    assert first is not None
    assert "Last confirmed 374 days ago" in first.find_it_again
    assert "135 mm, lens 0.9 m up, bearing 119° true" in first.find_it_again


def test_theme_and_lifting_are_checked() -> None:
    with pytest.raises(BadInputError, match="'blue' is not dim or paper"):
        dataclasses.replace(made(), theme="blue")
    with pytest.raises(BadInputError, match="at most three times"):
        SeenLifting(seen="good", times=(wennick.at("07:00"),) * 4)


def test_forecast_words_give_source_and_age() -> None:
    assert made().forecasts == (
        "values typed in the evening, issued 21:40, under an hour old when judged, 50 members",
    )


def test_woods_that_share_a_forecast_are_named_once_and_what_it_lacks_in_words() -> None:
    note = dataclasses.replace(
        wennick.MORNING.forecasts[0][1], missing=("wind_gust_mps", "fog_area_frac")
    )
    older = dataclasses.replace(note, age_h=7.0)
    told = forecast_lines(
        [("Pinnet Heath", note), ("Threll Clough", older), ("Sallowden Hanger", note)],
        zone_name=wennick.ZONE,
    )
    assert len(told) == 2
    assert told[0].startswith("Pinnet Heath, Sallowden Hanger: values typed")
    assert told[0].endswith("without wind gust, fog area")
    assert "7 h old when judged" in told[1]


def test_when_the_best_is_kept_off_the_times_are_still_its_own_and_the_next_says_so() -> None:
    best = dataclasses.replace(
        wennick.MORNING.spots[0], spot="Old Chair", set_out_utc=wennick.at("04:44")
    )
    morning = dataclasses.replace(wennick.MORNING, spots=(best, *wennick.MORNING.spots[1:]))
    context = sheet_context(morning, (wennick.WOODS, wennick.SPOTS))
    assert context.times[0].utc == best.alarm_utc or context.times[0].utc == best.set_out_utc
    assert wennick.at("04:44") in [line.utc for line in context.times]
    assert context.first_is == "after one kept off"
    assert not any("Old Chair" in line.words for line in context.times)


def test_where_the_answer_is_to_stay_no_way_there_is_timed() -> None:
    context = sheet_context(
        dataclasses.replace(wennick.MORNING, go=False), (wennick.WOODS, wennick.SPOTS)
    )
    assert context.first_is == "nearest to it"
    assert context.first is not None
    assert context.first.outlook.set_out_utc is None


def card(**more: object) -> LeaveWordCard:
    return leave_word_card(
        wennick.MORNING,
        (wennick.WOODS, wennick.SPOTS),
        word=wennick.WORD,
        **more,  # type: ignore[arg-type]
    )


def test_card_holds_today_only_and_the_parking_in_full() -> None:
    one = card(grid_references={"Pinnet Heath": "invented 123 456"})
    assert one.spots == ("White Post Gap",)
    assert [place.wood for place in one.parking] == ["Pinnet Heath"]
    assert one.parking[0].position.latitude_deg == 53.0012
    assert one.parking[0].grid_reference == "invented 123 456"
    said = json.dumps(to_plain(one))
    for other in ("Plumb", "Two Waters", "Old Chair", "Sallowden", "Ottermire"):
        assert other not in said


def test_card_without_a_walk_names_the_first_spot() -> None:
    one = leave_word_card(
        dataclasses.replace(wennick.MORNING, visits=()),
        (wennick.WOODS, wennick.SPOTS),
        word=wennick.WORD,
    )
    assert one.spots == ("White Post Gap",)
    assert one.route == ("18 min on foot to White Post Gap",)


def test_card_keeps_a_quiet_spot_off_unless_its_name_is_typed() -> None:
    quiet = dataclasses.replace(wennick.MORNING, spots=(wennick.NEVER,), visits=())
    places = (wennick.WOODS, wennick.SPOTS)
    shut = leave_word_card(quiet, places, word=wennick.WORD)
    assert shut.spots == ()
    assert shut.kept_off == 1
    assert "Old Chair" not in json.dumps(to_plain(shut))
    let = leave_word_card(quiet, places, word=wennick.WORD, let_out=("Old Chair",))
    assert let.spots == ("Old Chair",)


def test_card_needs_parking_and_an_alarm_after_the_return() -> None:
    with pytest.raises(BadInputError, match="needs the place where the car stands"):
        leave_word_card(wennick.MORNING, ((), ()), word=wennick.WORD)
    with pytest.raises(BadInputError, match="alarm must come after"):
        dataclasses.replace(card(), alarm_utc=wennick.at("10:00"))


def test_sheet_without_arrival_or_word_is_whole() -> None:
    context = sheet_context(wennick.MORNING, (wennick.WOODS, wennick.SPOTS))
    assert context.arrival == OnArrival()
    assert context.back_by_utc is None
    assert not any("alarm raised" in line.words for line in context.times)


def test_a_wood_may_be_unknown_to_the_book() -> None:
    only: tuple[Wood, ...] = ()
    assert sheet_context(wennick.MORNING, (only, ())).kept_off == 0
    assert isinstance(wennick.WORD, LeaveWord)


def test_further_stops_of_the_walk_get_their_own_lines() -> None:
    on = Visit(
        spot="Gorse Bank",
        arrive_utc=wennick.at("08:30"),
        leave_utc=wennick.at("09:00"),
        walk_min=9.0,
        worth=3.0,
    )
    hidden = dataclasses.replace(on, spot="Old Chair")
    morning = dataclasses.replace(wennick.MORNING, visits=(*wennick.MORNING.visits, on, hidden))
    words = [line.words for line in made(morning).times]
    assert "Gorse Bank, 9 min on foot" in words
    assert not any("Old Chair" in line for line in words)


def test_the_sheet_says_which_lens_of_the_kit_to_carry() -> None:
    places = (wennick.WOODS, wennick.SPOTS)
    long = KitLens(name="70 to 200 mm", shortest_mm=70, longest_mm=200, widest_f_number=4.0)
    short = KitLens(name="24 mm", shortest_mm=24, longest_mm=24, widest_f_number=2.8)
    first = sheet_context(wennick.MORNING, places, kit=Kit(lenses=(short, long))).first
    assert first is not None
    assert first.set_lines[0] == ("carry", "135 mm: 70 to 200 mm")
    without = sheet_context(wennick.MORNING, places, kit=Kit(lenses=(short,))).first
    assert without is not None
    assert without.set_lines[0] == ("carry", "135 mm: none of the kit reaches it")
    empty = sheet_context(wennick.MORNING, places).first
    assert empty is not None
    assert all(word != "carry" for word, _ in empty.set_lines)


def test_what_was_noted_on_the_mark_stands_in_the_strip_and_stays_quiet() -> None:
    noted = MarkAnchors(
        spot="White Post Gap",
        transits=(NotedTransit(near="gate post", far="Old Chair"),),
        distances=(NotedDistance(to="gate post", distance_m=5.6),),
    )
    first = made(anchors=(noted,)).first
    assert first is not None
    strip = first.find_it_again
    assert "To the middle of: gate post 5.60 m" in strip
    assert any(line.startswith("The middle of gate post in line with") for line in strip)
    assert "Old Chair" not in json.dumps(to_plain(first))  # a spot of class never
