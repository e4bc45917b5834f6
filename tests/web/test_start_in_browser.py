"""A newcomer's way in Chromium: from an empty book to a first sheet, on a phone and a laptop."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.web.visitor import house_of, live, quiet

pytestmark = pytest.mark.browser
MOST_LETTERS = 300
"""Three minutes at a hundred letters a minute, as two thumbs type. A judgement."""
WOOD = {"name": "Pinnet Heath", "parking": "52.99775 N 5.10521 W", "ground_height_m": "118"}
SPOT = {
    "name": "White Post Gap", "position": "53.00120 N 5.10340 W", "view_azimuth_deg": "119",
    "musts": "mist 60 to 200 m\ndirect light",
}  # fmt: skip
NIGHT = {
    "temperature_degc": "6.2", "dew_point_degc": "4.4", "wind_mps": "3 mph",
    "cloud_frac": "7/8", "clears_by": "01:00",
}  # fmt: skip


@pytest.fixture
def address(tmp_path: Path) -> Iterator[str]:
    with live(house_of(tmp_path / "empty.sqlite")) as where:
        yield where


@pytest.mark.parametrize("size", ["phone", "laptop"])
def test_an_empty_book_comes_to_a_first_sheet(
    address: str, size: str, request: pytest.FixtureRequest
) -> None:
    page: Page = request.getfixturevalue(size)
    told = quiet(page)
    page.goto(address)
    expect(page.locator("h1")).to_contain_text("Begin with one wood")
    page.get_by_role("link", name="Add the first wood").click()
    letters = _type(page, WOOD)
    page.get_by_role("button", name="Add this wood").click()
    page.goto(f"{address}/start")
    page.get_by_role("link", name="Add the first spot").click()
    letters += _type(page, SPOT)
    page.get_by_role("button", name="Add this spot").click()
    page.goto(f"{address}/start")
    page.get_by_role("link", name="Fetch or type a forecast").click()
    letters += _type(page, NIGHT)
    page.get_by_role("button", name="Judge by this").click()
    page.wait_for_url(re.compile(r"/evening"), timeout=60_000)
    page.goto(f"{address}/start")
    expect(page.locator("h1")).to_have_text("All three are there.")
    page.get_by_role("link", name="To the morning sheet").click()
    page.get_by_role("button", name="Make the sheet").click()
    expect(page.locator("#said")).to_contain_text("The sheet of Wednesday is made")
    page.get_by_role("link", name="Open the phone page").click()
    expect(page.locator("#day")).to_have_text("Wednesday 3 November 2027")
    assert letters < MOST_LETTERS
    assert told == []


def _type(page: Page, values: dict[str, str]) -> int:
    """Type into the boxes that are asked for; gives how many letters that took."""
    for name, text in values.items():
        page.locator(f"main [name='{name}']:visible").first.fill(text)
    return sum(map(len, values.values()))
