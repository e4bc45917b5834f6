"""The first screen: where it sends, its three steps, and the way to the demo valley and back."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from shivelight.basis.errors import UnwritableError
from shivelight.outing.spots import Spot
from shivelight.outing.woods import Wood
from shivelight.workbench import demo
from shivelight.workbench.bench import Workbench
from shivelight.workbench.demo_valley import valley as valley_of
from shivelight.workbench.settings import Settings
from tests.web.visitor import Visitor
from tests.workbench.conftest import opened


@pytest.fixture
def quick_demo(lived_through: Path, monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """Load the demo by copying the one of this run; gives what was loaded."""
    loaded: list[Path] = []

    def load(settings: Settings, **_: object) -> Path:
        with opened(lived_through, "2027-11-02T21:40") as bench:
            bench.book_backup(settings.book_path)
        shutil.copy(lived_through.parent / "wennick-ground.tif", settings.book_path.parent)
        loaded.append(settings.book_path)
        return settings.book_path

    monkeypatch.setattr(demo, "load_demo", load)
    return loaded


def test_an_empty_book_begins_at_the_first_screen(empty: Visitor) -> None:
    answer = empty.get("/")
    assert answer.url.path == "/start"
    assert "Begin with one wood, one spot and one forecast" in answer.text


def test_a_book_with_a_spot_begins_with_the_evening(valley: Visitor) -> None:
    assert valley.client.get("/", follow_redirects=False).headers["location"] == "/evening"


def test_each_step_is_ticked_off_and_the_next_one_named(empty: Visitor) -> None:
    assert _steps(empty) == [("A wood", False, True), ("A spot", False, False),
                             ("A forecast", False, False)]  # fmt: skip
    wood, spot = _wood_and_spot()
    _do(empty, lambda bench: bench.add_wood(wood))
    said = empty.json("/start")
    assert said["answer"] == "The wood is in. Now its first spot."
    assert _steps(empty)[1] == ("A spot", False, True)
    assert said["steps"][1]["href"] == f"/spot/new?wood={wood.name.replace(' ', '%20')}"
    _do(empty, lambda bench: bench.add_spot(spot))
    assert empty.json("/start")["answer"] == "The spot is in. Now a forecast."
    assert not empty.json("/start")["is_ready"]


def test_typing_the_evening_leads_to_the_sheet(empty: Visitor) -> None:
    wood, spot = _wood_and_spot()
    _do(empty, lambda bench: (bench.add_wood(wood), bench.add_spot(spot)))
    empty.wait(
        empty.post("/evening/type", temperature_degc="6.2", dew_point_degc="4.4",
                   wind_mps="3 mph", cloud_frac="7/8", clears_by="01:00")
    )  # fmt: skip
    said = empty.json("/start")
    assert said["answer"] == "All three are there."
    assert said["is_ready"]
    assert said["sheet_href"] == "/sheet"
    page = empty.get("/sheet")
    assert spot.name in page.text
    assert empty.post("/sheet/make", day="2027-11-03").status_code == 200


def test_the_demo_is_made_visited_and_left_again(empty: Visitor, quick_demo: list[Path]) -> None:
    own = empty.house.settings.book_path
    arrived = empty.wait(empty.post("/start/demo"))
    assert arrived.url.path == "/evening"
    assert "White Post Gap, Pinnet Heath: about " in arrived.text
    assert "nothing in it touches your own book" in arrived.text
    assert empty.house.is_demo
    assert empty.house.settings.book_path == own.with_name("wennick-demo.sqlite")
    assert [one.name for one in own.parent.glob("*part*")] == []
    home = empty.post("/start/home")
    assert home.url.path == "/start"
    assert "This is your own book again." in home.text
    assert empty.house.settings.book_path == own
    assert empty.json("/start")["steps"][0]["is_next"]
    assert len(quick_demo) == 1


def test_a_demo_that_is_there_is_visited_at_once(empty: Visitor, quick_demo: list[Path]) -> None:
    empty.wait(empty.post("/start/demo"))
    empty.post("/start/home")
    again = empty.post("/start/demo")
    assert again.url.path == "/evening"
    assert "You are in the demo valley" in again.text
    assert len(quick_demo) == 1
    assert "Visit the demo valley" not in empty.get("/start").text
    assert "Back to my own book" in empty.get("/start").text


def test_a_demo_that_fails_leaves_nothing_and_one_stays_at_home(
    empty: Visitor, monkeypatch: pytest.MonkeyPatch
) -> None:
    def load(settings: Settings, **_: object) -> Path:
        settings.book_path.write_bytes(b"half a book")
        raise UnwritableError("The disk is full.")

    monkeypatch.setattr(demo, "load_demo", load)
    answer = empty.post("/start/demo")
    state = empty.house.jobs.wait(answer.url.params["name"])
    assert (state.state, state.words) == ("failed", "The disk is full.")
    assert not empty.house.is_demo
    assert list(empty.house.settings.book_path.parent.glob("wennick-demo*")) == []


def test_the_mark_is_given_under_its_old_name_too(empty: Visitor) -> None:
    assert empty.get("/favicon.ico").headers["content-type"].startswith("image/svg+xml")


def _steps(visitor: Visitor) -> list[tuple[str, bool, bool]]:
    said = visitor.json("/start")["steps"]
    return [(one["title"], one["is_done"], one["is_next"]) for one in said]


def _wood_and_spot() -> tuple[Wood, Spot]:
    spot = next(one for one in valley_of().spots if one.name == "White Post Gap")
    return next(one for one in valley_of().woods if one.name == spot.wood), spot


def _do(visitor: Visitor, work: Callable[[Workbench], object]) -> None:
    with visitor.house.bench() as bench:
        work(bench)
