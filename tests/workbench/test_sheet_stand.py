"""The stand on the sheet: the one that was taken, else a quick search."""

import dataclasses
from pathlib import Path

from shivelight.outing.sheet import SheetContext
from shivelight.scene.framing import Framing, Reach
from shivelight.store import surveys
from shivelight.workbench.bench import Workbench
from shivelight.workbench.demo_valley import MORNING
from shivelight.workbench.sheet_stand import GONE, sheet_stand
from tests.workbench.conftest import opened

SPOT = "Plumb and Lean"
LINE = "Go 65 cm to the right. Smallest gap 0.37° (Plumb, Lean): 5 mm on a 60 cm print."
NIGHT = "2027-11-02T21:40"


def on_sheet(bench: Workbench) -> SheetContext:
    bench.judge(day=MORNING, mornings=1)
    bench.take(MORNING, spot=SPOT)
    return bench.sheet_of(MORNING)


def test_a_spot_that_was_taken_says_where_to_stand_and_others_say_nothing(book: Path) -> None:
    with opened(book, NIGHT) as bench:
        context = on_sheet(bench)
    assert context.first is not None
    shown = {one.outlook.spot: one.stand for one in (context.first, *context.others)}
    stand = shown.pop(SPOT)
    assert stand is not None
    assert stand.line == LINE
    assert set(shown.values()) == {None}


def test_without_a_stand_that_was_taken_a_quick_search_gives_one(book: Path) -> None:
    with opened(book, NIGHT) as bench:
        stand = sheet_stand(bench, SPOT)
        assert stand is not None
        assert stand.line == LINE
        assert stand.more[0].startswith("You may drift ")
        assert stand.more[1] == "Finish by eye. Watch: Plumb and Lean; Crook and Plumb."
        assert stand.more[-1] == "Worked out for this sheet; no stand was taken."
        assert sheet_stand(bench, "White Post Gap") is None


def test_the_stand_that_was_taken_comes_first_and_a_wide_reach_is_not_searched(book: Path) -> None:
    with opened(book, NIGHT) as bench:
        wide = Reach(left_m=8.0, right_m=8.0, forward_m=4.0, back_m=4.0)
        taken = bench.find_stand(SPOT, take=1).taken
        bench.wish_framing(SPOT, Framing(), wide)
        stand = sheet_stand(bench, SPOT)
        assert stand is not None
        assert stand.camera is not None
        assert taken is not None
        assert (stand.camera.x_m, stand.camera.yaw_deg) == (taken.x_m, taken.yaw_deg)
        assert stand.line == LINE
        assert stand.more[-1] == "Taken on Tuesday 2 November 2027."


def test_a_wide_reach_without_a_stand_gives_nothing(book: Path) -> None:
    with opened(book, NIGHT) as bench:
        wide = Reach(left_m=8.0, right_m=8.0, forward_m=4.0, back_m=4.0)
        bench.wish_framing(SPOT, Framing(), wide)
        assert sheet_stand(bench, SPOT) is None


def test_a_stand_inside_a_trunk_surveyed_since_says_so(book: Path) -> None:
    with opened(book, NIGHT) as bench:
        taken = bench.find_stand(SPOT, take=1).taken
        assert taken is not None
        kept = bench.kept_survey(SPOT)
        grown = dataclasses.replace(kept.survey.trunks[0], name="Sapling", x_m=taken.x_m, y_m=0.1)
        held = dataclasses.replace(kept.survey, trunks=(*kept.survey.trunks, grown))
        surveys.put(bench.book, dataclasses.replace(kept, survey=held))
        stand = sheet_stand(bench, SPOT)
        assert stand is not None
        assert (stand.line, stand.survey) == (GONE, None)
