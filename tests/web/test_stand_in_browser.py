"""The stand point in Chromium: keys, buttons and taps move the lens; trunks marked by hand."""

import pytest
from playwright.sync_api import Locator, Page, expect

from shivelight.web.house import House
from tests.web.test_surveys import BARE, SPOT
from tests.web.test_surveys_photo import RENDERS, WOOD
from tests.web.visitor import quiet

pytestmark = pytest.mark.browser
STAND = "/stand?spot=Plumb%20and%20Lean"


def opened(page: Page, home: str) -> Locator:
    """Open the stand point, past the job that looks for it, and give the frame that moves."""
    page.goto(home + STAND)
    expect(page.locator("#h-answer")).to_have_text("Go 65 cm to the right.", timeout=120_000)
    return page.locator("#moving")


def test_arrow_keys_move_the_lens_and_the_frame_follows(home: str, laptop: Page) -> None:
    told = quiet(laptop)
    moving = opened(laptop, home)
    drawn, title = moving.locator(".drawn"), moving.locator(".place")
    expect(title).to_have_text("65 cm right")
    drawn.focus()
    laptop.keyboard.press("ArrowLeft")
    expect(title).to_have_text("64 cm right")
    laptop.keyboard.press("Shift+ArrowLeft")
    expect(title).to_have_text("54 cm right")
    expect(moving.locator(".reading")).to_contain_text("closed")
    laptop.keyboard.press("Home")
    expect(title).to_have_text("At your mark")
    laptop.keyboard.press("ArrowUp")
    expect(title).to_have_text("1 cm forward")
    laptop.keyboard.press("End")
    expect(title).to_have_text("65 cm right")
    assert drawn.evaluate("one => one === document.activeElement")
    assert told == []


def test_buttons_and_the_ruler_move_it_by_hand(home: str, phone: Page) -> None:
    told = quiet(phone)
    moving = opened(phone, home)
    title = moving.locator(".place")
    phone.get_by_role("link", name="10 cm left").tap()
    expect(title).to_have_text("55 cm right")
    phone.get_by_role("link", name="The mark").tap()
    expect(title).to_have_text("At your mark")
    ruler = phone.locator("#ruler .drawn")
    box = ruler.locator(".phone svg").bounding_box()
    assert box is not None
    ruler.tap(position={"x": box["width"] * 0.9, "y": box["height"] / 2.0})
    expect(title).not_to_have_text("At your mark")
    expect(title).to_contain_text("right")
    expect(phone.locator("#ruler .reading")).to_contain_text("right")
    assert phone.locator("#ruler .phone svg .here").get_attribute("d")
    assert told == []


def test_a_place_that_cannot_be_is_said_and_the_next_is_drawn(home: str, laptop: Page) -> None:
    moving = opened(laptop, home)
    laptop.evaluate("document.getElementById('moving').setAttribute('data-focal', 'none')")
    moving.locator(".drawn").focus()
    laptop.keyboard.press("ArrowLeft")
    expect(moving.locator(".reading")).to_contain_text("is no number")
    laptop.evaluate("document.getElementById('moving').setAttribute('data-focal', '50')")
    laptop.keyboard.press("ArrowLeft")
    expect(moving.locator(".place")).to_have_text("63 cm right")


def test_trunks_are_marked_by_taps_and_by_keys(house: House, home: str, laptop: Page) -> None:
    told = quiet(laptop)
    with house.bench() as bench:
        data = (RENDERS / "hanger-clear-a.png").read_bytes()
        number = bench.keep_picture(data, spot=BARE).id
    laptop.goto(f"{home}/survey/photo?spot=Root%20Stair&picture={number}")
    picture = laptop.locator(".w880 .tap")
    true, scale = WOOD["shots"]["clear-a"]["marks"]["Plumb"], 880 / WOOD["width_px"]
    for key in ("left_px", "right_px", "foot_px"):
        x, y = true[key]
        picture.click(position={"x": (x + 0.5) * scale, "y": (y + 0.5) * scale})
    x, y = (float(one) for one in laptop.locator("#b-foot").input_value().split())
    assert (x, y) == pytest.approx(true["foot_px"], abs=1.5)
    laptop.fill("#b-name", "Plumb")
    laptop.get_by_role("button", name="Write this trunk down").click()
    expect(laptop.locator("#answer")).to_have_text("1 trunk marked.")
    picture.focus()
    for key in ("ArrowLeft", "Shift+ArrowUp", "Enter", "ArrowRight", "ArrowRight", "Enter"):
        laptop.keyboard.press(key)
    left, right = (laptop.locator(f"#b-{one}").input_value().split() for one in ("left", "right"))
    assert float(right[0]) - float(left[0]) == pytest.approx(20.0 / scale, abs=0.2)
    assert laptop.locator("input[name=sets]:checked").get_attribute("value") == "foot"
    assert told == []


def test_the_ways_from_a_spot_lead_here(home: str, laptop: Page) -> None:
    laptop.goto(f"{home}/spot?name=Plumb%20and%20Lean")
    laptop.get_by_role("link", name="Survey", exact=True).click()
    expect(laptop.locator("h1")).to_have_text("Survey")
    laptop.get_by_role("link", name="Find it again").first.click()
    expect(laptop.locator("h1")).to_have_text("Find it again")
    assert SPOT in laptop.content()
