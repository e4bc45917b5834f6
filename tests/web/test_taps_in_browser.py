"""The small pages in Chromium: the sheet under its policy, taps, steppers, a card copied."""

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from shivelight.web.house import House
from shivelight.workbench.sheet import WordAsked
from tests.web.visitor import house_of, live, quiet

pytestmark = pytest.mark.browser
MORNING = dt.date(2027, 11, 3)


@pytest.fixture
def house(book: Path) -> House:
    """Open a house that tests may change, on the demo morning."""
    made = house_of(book, "2027-11-03T06:40")
    with made.bench() as bench:
        bench.take(MORNING)
        bench.keep_word(MORNING, WordAsked(who="Orla Penwarne", car="small green estate"))
    return made


@pytest.fixture
def address(house: House) -> Iterator[str]:
    with live(house) as where:
        yield where


def test_the_phone_page_runs_its_own_script_and_breaks_no_policy(
    address: str, phone: Page
) -> None:
    told = quiet(phone)
    phone.goto(f"{address}/sheet/page?day={MORNING}")
    phone.get_by_role("button", name="Paper light").click()
    expect(phone.locator("html")).to_have_attribute("data-theme", "paper")
    for name, word in (("mist", "thin"), ("air", "still"), ("light", "clear")):
        phone.locator(f"#taps input[name={name}][value={word}]").check()
    expect(phone.locator("#found")).to_contain_text("White Post Gap")
    family = phone.evaluate("getComputedStyle(document.body).fontFamily")
    assert "Field" in family
    assert phone.evaluate("Array.from(document.fonts).some(one => one.status === 'loaded')")
    assert told == []


def test_the_third_tap_answers_and_the_page_keeps_its_place(address: str, phone: Page) -> None:
    told = quiet(phone)
    phone.goto(f"{address}/arrive")
    for name, word in (("mist", "thin"), ("air", "still")):
        phone.locator(f"input[name={name}][value={word}]").check()
    assert "mist=" not in phone.url
    phone.evaluate("window.scrollTo(0, 480)")
    phone.locator("input[name=light][value=clear]").check()
    phone.wait_for_url("**mist=thin&air=still&light=clear**")
    expect(phone.locator("h2.answer")).to_have_text("White Post Gap, 18 min on foot.")
    assert phone.evaluate("Math.abs(window.scrollY - 480) < 200")
    expect(phone.locator("input[name=light][value=clear]")).to_be_focused()
    assert told == []


def test_without_scripts_the_taps_are_sent_by_their_button(address: str, laptop: Page) -> None:
    context = laptop.context.browser.new_context(java_script_enabled=False)  # type: ignore[union-attr]
    page = context.new_page()
    page.goto(f"{address}/arrive")
    for name, word in (("mist", "none"), ("air", "moving"), ("light", "overcast")):
        page.locator(f"input[name={name}][value={word}]").check()
    page.get_by_role("button", name="Where to go").click()
    expect(page.locator("h2.answer")).to_be_visible()
    context.close()


def test_a_morning_is_logged_with_one_thumb(address: str, phone: Page) -> None:
    told = quiet(phone)
    phone.goto(f"{address}/log")
    for name, word in (("mist", "good"), ("air", "still"), ("light", "back"), ("leaf", "peak")):
        target = phone.locator(f"label:has(input[name={name}][value={word}])")
        target.scroll_into_view_if_needed()
        box = target.bounding_box()
        assert box is not None
        assert box["height"] >= 60
        target.tap()
    phone.get_by_text("More: day, spot").tap()
    for label in ("10 m more", "10 m more", "5 minutes later", "5 minutes later"):
        phone.get_by_role("button", name=label).tap()
    assert phone.locator("#b-optical-range-m").input_value() == "20"
    assert phone.locator("#b-lifted").input_value() == "08:05"
    phone.get_by_role("button", name="Keep it").tap()
    expect(phone.locator("#said")).to_contain_text("mist good. Kept in the log.")
    expect(phone.locator("#said")).to_be_focused()
    expect(phone.locator("table.logged tbody tr").first).to_contain_text("gone by 08:05 GMT")
    phone.get_by_role("button", name="Undo").tap()
    expect(phone.locator("#said")).to_contain_text("taken back and put aside")
    assert told == []


def test_no_more_than_four_taps_lie_within_the_thumb_s_reach(address: str, phone: Page) -> None:
    phone.goto(f"{address}/log")
    tops = phone.locator(".taps label").evaluate_all(
        "all => all.map(one => one.getBoundingClientRect().top)"
    )
    assert len(tops) > 20
    reach_px = 4 * 72  # a thumb's sweep, as four targets of 60 px and their gaps; a judgement
    assert all(sum(low <= one < low + reach_px for one in tops) <= 4 for low in tops)


def test_the_card_is_copied_as_text(address: str, laptop: Page) -> None:
    laptop.goto(f"{address}/word?day={MORNING}")
    laptop.get_by_role("button", name="Copy the text").click()
    expect(laptop.locator("#card-told")).to_have_text("Copied.")
    card = laptop.locator("#card").input_value()
    assert laptop.evaluate("window.getSelection().toString()") in {card, ""}
    assert "Orla Penwarne" in card


@pytest.mark.parametrize(
    "path",
    ["/settings", "/devices", "/start", "/help", "/pair", "/sheet", "/word/page?day=2027-11-03"],
)
def test_the_quiet_pages_complain_of_nothing_and_fit(address: str, phone: Page, path: str) -> None:
    told = quiet(phone)
    phone.goto(address + path)
    assert phone.evaluate("document.documentElement.scrollWidth") == 390
    assert phone.locator("h1").count() == 1
    assert told == []


def test_a_setting_is_changed_by_keyboard_alone(address: str, laptop: Page) -> None:
    laptop.goto(f"{address}/settings")
    box = laptop.get_by_label("Members")  # beside a box that may stay empty
    box.focus()
    box.fill("30")
    laptop.keyboard.press("Control+Enter")
    expect(laptop.locator("#said")).to_contain_text("Members is 30.")
    expect(laptop.locator("#said")).to_be_focused()
