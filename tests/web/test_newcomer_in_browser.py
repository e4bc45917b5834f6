"""What a newcomer's hands do in Chromium: tap twice, send the wrong file, use another clock."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from shivelight.web.house import House
from tests.web.visitor import house_of, live

pytestmark = pytest.mark.browser
WOOD = {"name": "Two Elms", "parking": "53.0 N 5.1 W", "ground_height_m": "90"}


@pytest.fixture
def house(tmp_path: Path) -> House:
    house = house_of(tmp_path / "empty.sqlite")
    house.zone_name = None
    return house


@pytest.fixture
def address(house: House) -> Iterator[str]:
    with live(house) as where:
        yield where


def test_a_button_tapped_twice_sends_once_and_the_clock_is_this_machines(
    address: str, house: House, browser: Browser
) -> None:
    context = browser.new_context(
        timezone_id="Europe/Lisbon", viewport={"width": 390, "height": 900}
    )
    page = context.new_page()
    page.goto(f"{address}/wood/new")
    expect(page.locator("[name=zone_name]")).to_have_value("Europe/Lisbon")
    for name, text in WOOD.items():
        page.locator(f"[name={name}]").fill(text)
    page.get_by_role("button", name="Add this wood").dblclick()
    expect(page.locator("#said")).to_contain_text("Two Elms is in the book.")
    expect(page.locator("h1")).to_have_text("Two Elms")
    with house.bench() as bench:
        assert [one.wood.zone_name for one in bench.woods()] == ["Europe/Lisbon"]
    context.close()


def test_a_wrong_file_is_refused_beside_its_box_and_what_was_typed_stays(
    address: str, house: House, laptop: Page, tmp_path: Path
) -> None:
    notes = tmp_path / "notes.jpg"
    notes.write_text("no photograph")
    laptop.goto(f"{address}/wood/new")
    for name, text in (WOOD | {"zone_name": "Europe/London"}).items():
        laptop.locator(f"[name={name}]").fill(text)
    laptop.get_by_role("button", name="Add this wood").click()
    laptop.get_by_role("link", name="Add its first spot").click()
    laptop.locator("main [name=name]:visible").fill("Bent Birch")
    laptop.locator("input[type=file]").set_input_files(notes)
    laptop.get_by_role("button", name="Read this photograph").click()
    expect(laptop.locator(".sending .refused")).to_contain_text("no photograph that can be read")
    expect(laptop.locator("main [name=name]:visible")).to_have_value("Bent Birch")
    large = tmp_path / "large.jpg"
    with large.open("wb") as file:
        file.truncate(61_000_000)
    laptop.locator("input[type=file]").set_input_files(large)
    laptop.get_by_role("button", name="Read this photograph").click()
    expect(laptop.locator(".sending .refused")).to_have_text(
        "The file has 61 MB; 60 MB is the most."
    )


def test_what_was_typed_comes_back_with_the_page(read_only_valley: str, laptop: Page) -> None:
    laptop.goto(f"{read_only_valley}/spot/new?wood=Pinnet Heath")
    laptop.locator("main [name=name]:visible").fill("Third Gate")
    laptop.locator("[name=musts]").fill("mist")
    laptop.get_by_role("link", name="Woods").first.click()
    expect(laptop.locator("h1")).to_have_text("Woods")
    laptop.go_back()
    expect(laptop.locator("main [name=name]:visible")).to_have_value("Third Gate")
    expect(laptop.locator("[name=musts]")).to_have_value("mist")
    laptop.goto(f"{read_only_valley}/woods")
    laptop.goto(f"{read_only_valley}/spot/new?wood=Pinnet Heath")
    expect(laptop.locator("main [name=name]:visible")).to_have_value("")  # a new page is empty


def test_taps_of_the_log_stand_one_in_a_row_on_a_phone(read_only_valley: str, phone: Page) -> None:
    phone.goto(f"{read_only_valley}/log")
    boxes = [one.bounding_box() for one in phone.locator(".taps").first.locator("label").all()]
    assert all(box is not None and box["height"] >= 60 for box in boxes)
    tops = [round(box["y"]) for box in boxes if box is not None]
    assert tops[0] < tops[1] < tops[2]  # four at most within a thumb's reach
    mark = phone.locator(".mark").bounding_box()
    assert mark is not None
    assert mark["height"] >= 44


def test_a_long_subject_is_not_cut(read_only_valley: str, laptop: Page) -> None:
    laptop.goto(f"{read_only_valley}/spot/edit?name=White Post Gap")
    box = laptop.locator("[name=subject]")
    box.fill("two leaning oaks over bracken, the left one split, the right one hollow")
    wide, held = box.evaluate("one => [one.clientWidth, one.scrollWidth]")
    assert held <= wide
