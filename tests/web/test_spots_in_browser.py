"""Spots in Chromium: a skyline by keys, buttons and taps, wishes by one tap, a photograph."""

import pytest
from playwright.sync_api import Locator, Page

from shivelight.web.house import House
from tests.web.test_spots import GAP, SNAP
from tests.web.visitor import quiet

pytestmark = pytest.mark.browser
SKYLINE = "/spot/skyline?name=White%20Post%20Gap"


def sights(house: House) -> dict[float, float]:
    with house.bench() as bench:
        return {one.azimuth_deg: one.altitude_deg for one in bench.spot(GAP).sights}


def reading(page: Page) -> Locator:
    return page.locator(".sketch .reading")


def test_a_skyline_is_typed_by_keyboard_alone(house: House, home: str, laptop: Page) -> None:
    told = quiet(laptop)
    laptop.goto(home + SKYLINE)
    drawn = laptop.locator(".sketch .drawn")
    drawn.focus()
    for key in ("ArrowRight", "ArrowUp", "ArrowUp", "ArrowUp"):
        drawn.press(key)
    assert reading(laptop).inner_text() == "125° true, 3.5° high. Typed line there: 2.0°."
    drawn.press("Enter")
    assert "Set: 125° true, 3.5° high. Typed line there: 3.5°. Not kept yet." in (
        reading(laptop).inner_text()
    )
    for _ in range(4):
        drawn.press("ArrowRight")
    drawn.press("ArrowRight")
    drawn.press("Delete")
    assert reading(laptop).inner_text().startswith("Dropped: 150° true")
    bearings = laptop.locator("[name=bearing]").evaluate_all("all => all.map(one => one.value)")
    said = [float(one) for one in bearings if one]
    assert said == sorted(said)
    assert 125.0 in said
    assert 150.0 not in said
    laptop.get_by_role("button", name="Keep these heights").click()
    laptop.wait_for_url("**" + SKYLINE)
    assert "24 heights are kept" in laptop.locator("#said").inner_text()
    kept = sights(house)
    assert kept[125.0] == 3.5
    assert 150.0 not in kept
    laptop.get_by_role("button", name="Undo").click()
    laptop.wait_for_selector("text=White Post Gap is as it was.")
    assert 150.0 in sights(house)
    assert told == []


def test_a_tap_sets_the_height_where_it_taps(house: House, home: str, phone: Page) -> None:
    told = quiet(phone)
    phone.goto(home + SKYLINE)
    held = phone.locator(".sketch .phone")
    box = held.locator("svg").bounding_box()
    assert box is not None
    scale = held.evaluate("one => ({...one.dataset})")
    left, right, low, high = (float(scale[key]) for key in ("left", "right", "low", "high"))
    ratio = box["width"] / 358.0
    x = left + (right - left) * (200.0 - float(scale["start"])) / float(scale["span"])
    y = low - (low - high) * (10.0 + 1.0) / (float(scale["top"]) + 1.0)
    phone.touchscreen.tap(box["x"] + x * ratio, box["y"] + y * ratio)
    assert reading(phone).inner_text().startswith("Set: 200° true, 10.0° high")
    phone.get_by_role("button", name="5° left").tap()
    assert reading(phone).inner_text().startswith("195° true, 10.0° high. Typed line there: 2.0°")
    phone.get_by_role("button", name="Keep these heights").tap()
    phone.wait_for_selector("#said")
    assert sights(house)[200.0] == 10.0
    assert told == []


def test_a_row_is_dropped_and_hand_spans_are_drawn(home: str, laptop: Page) -> None:
    laptop.goto(home + SKYLINE)
    laptop.get_by_label("Height 9, degrees or hand-spans").fill("1 fist 2 fingers")
    assert "Typed line there: 13.0°. Not kept yet." in reading(laptop).inner_text()
    laptop.get_by_role("button", name="Drop height 9", exact=True).click()
    assert "Dropped: 120° true" in reading(laptop).inner_text()
    assert laptop.locator(".heights li").count() == 26


def test_an_example_goes_into_its_box_by_one_tap(house: House, home: str, phone: Page) -> None:
    phone.goto(home + "/spot/wishes?name=White%20Post%20Gap")
    phone.get_by_text("Add one to what it would like").tap()
    hoar = phone.locator("details[open] .add", has_text="hoar")
    hoar.tap()
    hoar.tap()
    assert phone.get_by_label("Would like").input_value() == "still air\nback light\nhoar"
    phone.get_by_role("button", name="Keep these wishes").tap()
    phone.wait_for_selector("text=would like still air, back light, ground hoar")


def test_a_photograph_is_sent_and_fills_the_form(home: str, phone: Page) -> None:
    told = quiet(phone)
    phone.goto(home + "/spot/new")
    phone.get_by_label("A photograph", exact=True).set_input_files(
        {"name": "IMG.jpg", "mimeType": "image/jpeg", "buffer": SNAP}
    )
    phone.get_by_role("button", name="Read this photograph").tap()
    phone.wait_for_url("**/spot/new?picture=*")
    assert phone.get_by_label("Where the tripod stands").input_value().startswith("53.00")
    phone.get_by_label("Name", exact=True).fill("Snapped")
    phone.get_by_role("button", name="Add this spot").tap()
    phone.wait_for_url("**/spot?name=Snapped")
    assert phone.locator(".pictures img").evaluate("one => one.naturalWidth") > 0
    assert told == []


def test_a_spot_is_read_by_keys_and_taps(read_only_valley: str, phone: Page) -> None:
    told = quiet(phone)
    phone.goto(read_only_valley + "/spot?name=White%20Post%20Gap")
    roll = phone.locator(".fig").first
    svg = roll.locator(".phone svg")
    held = roll.locator(".phone")
    svg.scroll_into_view_if_needed()
    box = svg.bounding_box()
    assert box is not None
    bead = svg.locator("circle").last  # where the sun clears the skyline, over 118 degrees
    x = float(bead.get_attribute("cx") or 0)
    phone.touchscreen.tap(box["x"] + x * box["width"] / 358.0, box["y"] + 150.0)
    assert roll.locator(".reading").inner_text().startswith(("117°", "118°", "119°"))
    roll.locator(".drawn").press("ArrowRight")
    assert roll.locator(".reading").inner_text().startswith(("118°", "119°", "120°"))
    assert held.is_visible()
    assert phone.evaluate("document.documentElement.scrollWidth") <= 390
    assert told == []
