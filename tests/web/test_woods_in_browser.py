"""Woods in Chromium: an outline drawn by tap and by keyboard, places read off, a raster sent."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.web.visitor import Visitor, quiet
from tests.workbench.conftest import opened

pytestmark = pytest.mark.browser
CLOUGH = "Threll Clough"
DRAWING = "/wood/outline?name=Threll Clough"


def lines(page: Page) -> list[str]:
    return page.locator("#b-outline").input_value().splitlines()


def picture(page: Page) -> tuple[float, float, float]:
    """Left, top and side of the picture that is shown. [px]."""
    page.locator(".tap:visible").scroll_into_view_if_needed()
    box = page.locator(".tap:visible").bounding_box()
    assert box
    return box["x"], box["y"], box["width"]


def tap(page: Page, x_frac: float, y_frac: float, *, finger: bool = False) -> None:
    left, top, side = picture(page)
    press = page.touchscreen.tap if finger else page.mouse.click
    press(left + x_frac * side, top + y_frac * side)


def test_an_outline_is_drawn_by_pointer_and_kept(home: str, laptop: Page, book: Path) -> None:
    told = quiet(laptop)
    laptop.goto(home + DRAWING)
    laptop.get_by_role("button", name="Clear").click()
    assert lines(laptop) == []
    for x, y in ((0.1, 0.1), (0.9, 0.15), (0.8, 0.9), (0.1, 0.8)):
        tap(laptop, x, y)
    assert len(lines(laptop)) == 4
    expect(laptop.locator("#reading")).to_have_text(
        re.compile(r"Corner 4: 53\.\d{5} N, 5\.\d{5} W; ground about \d+ m; \d+ m from the last\.")
    )
    expect(laptop.locator("#answer")).to_contain_text("4 corners, ")
    points = laptop.locator(".draft:visible polygon.edge").get_attribute("points") or ""
    assert [float(one) for one in points.split()[0].split(",")] == pytest.approx([72, 72], abs=1.0)
    drawn = lines(laptop)
    laptop.get_by_role("button", name="Keep outline and parking").click()
    expect(laptop.locator("#said")).to_contain_text("are kept")
    with opened(book, "2027-11-02T21:40") as bench:
        kept = bench.wood(CLOUGH).wood.outline
    assert [f"{one[0]:.7f}, {one[1]:.7f}" for one in kept] == drawn
    assert told == []


def test_what_the_script_sets_is_where_the_server_would_set_it(
    home: str, laptop: Page, valley: Visitor
) -> None:
    laptop.goto(home + DRAWING)
    tap(laptop, 200.4 / 720, 500.4 / 720)
    by_script = [float(one) for one in lines(laptop)[-1].split(",")]
    with valley.house.bench() as bench:
        view = bench.ground_of(CLOUGH)
        place = view.position_at(200.0, 500.0)
    metre_deg = 1.0 / 111_000.0
    assert by_script[0] == pytest.approx(place.latitude_deg, abs=2.0 * metre_deg)
    assert by_script[1] == pytest.approx(place.longitude_deg, abs=3.0 * metre_deg)


def test_the_keyboard_draws_as_the_pointer_does(home: str, laptop: Page) -> None:
    laptop.goto(home + DRAWING)
    before, parked = lines(laptop), laptop.locator("#b-parking").input_value()
    laptop.locator("input[name=sets]:checked").focus()
    laptop.keyboard.press("Tab")
    for _ in range(3):
        laptop.keyboard.press("ArrowRight")
    laptop.keyboard.press("Shift+ArrowUp")
    expect(laptop.locator("#reading")).to_have_text(re.compile(r"Crosshair: .*ground about"))
    hair = laptop.locator(".draft:visible .hair").get_attribute("d")
    assert hair == "M390 333v52M364 359h52"
    laptop.keyboard.press("Enter")
    assert len(lines(laptop)) == len(before) + 1
    laptop.keyboard.press("Backspace")
    assert lines(laptop) == before
    laptop.keyboard.press("p")
    assert laptop.locator("#b-parking").input_value() != parked
    expect(laptop.locator("#reading")).to_have_text(re.compile("Parking: "))


def test_typed_corners_move_the_drawing(home: str, laptop: Page) -> None:
    laptop.goto(home + DRAWING)
    three = "\n".join(lines(laptop)[:3])
    laptop.locator("#b-outline").fill(three)
    expect(laptop.locator(".draft:visible circle")).to_have_count(3)
    laptop.locator("#b-outline").fill(three + "\nby the oak")
    expect(laptop.locator("#answer")).to_contain_text("1 line is only read when")


def test_a_thumb_sets_corners_and_the_server_draws_closer(home: str, phone: Page) -> None:
    told = quiet(phone)
    phone.goto(home + DRAWING)
    phone.get_by_role("button", name="Clear").click()
    tap(phone, 0.3, 0.3, finger=True)
    tap(phone, 0.7, 0.4, finger=True)
    before = lines(phone)
    assert len(before) == 2
    with phone.expect_navigation():
        phone.get_by_role("button", name="Closer").click()
    assert lines(phone) == before
    expect(phone.locator(".draft:visible circle")).to_have_count(2)
    assert phone.evaluate("document.documentElement.scrollWidth") <= 390
    assert told == []


@pytest.mark.parametrize("width", [1280, 390, 320])
def test_a_tap_without_any_script_sets_the_corner_there(
    home: str, browser: Browser, width: int
) -> None:
    with browser.new_context(
        viewport={"width": width, "height": 900}, java_script_enabled=False
    ) as context:
        page = context.new_page()
        page.goto(home + DRAWING)
        before = lines(page)
        with page.expect_navigation():
            tap(page, 0.25, 0.75)
        assert lines(page)[:-1] == before
        dot = page.locator(".draft:visible circle").last
        x, y = (float(dot.get_attribute(name) or "nan") for name in ("cx", "cy"))
        assert [x, y] == pytest.approx([180.0, 540.0], abs=3.0)


def test_places_on_the_ground_are_read_by_arrows_and_by_tap(home: str, laptop: Page) -> None:
    laptop.goto(home + "/wood?name=Ottermire Carr")
    drawn = laptop.locator(".ground .drawn")
    drawn.focus()
    laptop.keyboard.press("End")
    reading = laptop.locator(".ground .reading")
    expect(reading).to_have_text(re.compile(r"Two Waters: .*; ground \d+ m"))
    laptop.keyboard.press("ArrowLeft")
    expect(reading).to_have_text(re.compile("parking: "))
    box = drawn.locator(".laid:visible").bounding_box()
    assert box
    drawn.click(position={"x": box["width"] * 0.1, "y": box["height"] * 0.2})
    expect(reading).to_have_text(re.compile(r"corner \d: "))


def test_a_raster_is_sent_with_its_progress_and_laid_under(
    home: str, laptop: Page, book: Path
) -> None:
    told = quiet(laptop)
    laptop.goto(home + "/wood/raster?name=Pinnet Heath")
    laptop.locator("#b-file").set_input_files(book.parent / "wennick-ground.tif")
    laptop.get_by_role("button", name="Send it").click()
    laptop.wait_for_url("**/wood?name=Pinnet%20Heath")
    expect(laptop.locator("#h-raster ~ ul")).to_contain_text(
        re.compile(r"wennick-ground-[0-9a-f]{8}\.tif")
    )
    assert told == []


def test_a_raster_that_is_none_is_refused_without_leaving_the_page(
    home: str, laptop: Page, tmp_path: Path
) -> None:
    wrong = tmp_path / "holiday.tif"
    wrong.write_bytes(b"no raster")
    laptop.goto(home + "/wood/raster?name=Pinnet Heath")
    laptop.locator("#b-file").set_input_files(wrong)
    laptop.get_by_role("button", name="Send it").click()
    expect(laptop.locator(".sending p")).to_contain_text("not a raster that can be read")
