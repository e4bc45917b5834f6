"""The sheet as it is used: from disk, on a phone, in the dark, with gloves and no signal."""

import dataclasses
import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from shivelight.drawing.sheet import sheet_html
from tests.drawing import wennick

pytestmark = pytest.mark.browser

BEFORE_DAWN = dt.datetime(2027, 11, 3, 5, 35, tzinfo=dt.UTC)
NO_STORAGE = """
Object.defineProperty(window, 'localStorage', {
  get() { throw new DOMException('no', 'SecurityError'); }
});
"""


@pytest.fixture
def page(browser: Browser, sheet_file: Path) -> Iterator[Page]:
    with opened(browser, sheet_file, width=390) as made:
        yield made


class opened:  # noqa: N801  reads as a verb where it is used
    """The sheet in a fresh context, with every request and error noted."""

    def __init__(
        self,
        browser: Browser,
        sheet_file: Path,
        *,
        width: int,
        at: dt.datetime = BEFORE_DAWN,
        script: str = "",
    ) -> None:
        self.context = browser.new_context(
            viewport={"width": width, "height": 844}, has_touch=True, offline=True
        )
        self.page = self.context.new_page()
        self.asked: list[str] = []
        self.errors: list[str] = []
        self.page.on("request", lambda one: self.asked.append(one.url))
        self.page.on("pageerror", lambda one: self.errors.append(str(one)))
        self.page.clock.set_fixed_time(at)
        if script:
            self.page.add_init_script(script)
        self.page.goto(sheet_file.as_uri())

    def __enter__(self) -> Page:
        return self.page

    def __exit__(self, *_: object) -> None:
        self.context.close()
        assert self.errors == []
        outside = [url for url in self.asked if not url.startswith(("file:", "data:"))]
        assert outside == []


def tap(page: Page, mist: str, air: str, light: str) -> None:
    for name, word in (("mist", mist), ("air", air), ("light", light)):
        page.locator(f"input[name={name}][value={word}]").tap()


def offered(page: Page) -> list[str]:
    return page.locator("#found li b").all_text_contents()


def test_three_taps_rank_the_spots(page: Page) -> None:
    expect(page.locator("#found")).to_have_text("Tap what you find: mist, air, sky.")
    page.locator("input[name=mist][value=good]").tap()
    expect(page.locator("#found")).to_have_text("Tap what you find: air, sky.")
    tap(page, "good", "still", "clear")
    assert offered(page) == ["White Post Gap", "Gorse Bank", "Far Pines"]
    first = page.locator("#found li").first
    expect(first).to_contain_text("07:38–08:00")
    expect(first).to_contain_text("you are there, Pinnet Heath")
    expect(first).to_contain_text("sun through good mist")
    expect(page.locator("#found li").nth(1)).to_contain_text("9 min on foot")
    tap(page, "good", "still", "overcast")
    assert offered(page) == ["Gorse Bank", "Far Pines"]


def test_lifting_follows_what_is_seen(page: Page) -> None:
    tap(page, "thick", "still", "clear")
    expect(page.locator("#seen")).to_contain_text("gone by 09:15 in 5 of 10")
    page.locator("input[name=mist][value=none]").tap()
    expect(page.locator("#seen")).to_have_text("None at sunrise: nothing has to lift.")


def test_clearing_the_taps_undoes_them(page: Page) -> None:
    tap(page, "good", "still", "clear")
    page.locator("#again").tap()
    assert offered(page) == []
    expect(page.locator("#found")).to_have_text("Tap what you find: mist, air, sky.")


def test_what_is_over_by_the_clock_is_dropped(browser: Browser, sheet_file: Path) -> None:
    # Gorse Bank ends at 07:45 and lies 9 minutes off: at 07:40 it is too late for it.
    late = dt.datetime(2027, 11, 3, 7, 40, tzinfo=dt.UTC)
    with opened(browser, sheet_file, width=390, at=late) as page:
        tap(page, "good", "still", "clear")
        assert offered(page) == ["White Post Gap", "Far Pines"]
        expect(page.locator("#found")).to_contain_text("Over by the clock: 1.")
    noon = dt.datetime(2027, 11, 3, 12, 0, tzinfo=dt.UTC)
    with opened(browser, sheet_file, width=390, at=noon) as page:
        tap(page, "good", "still", "clear")
        expect(page.locator("#found")).to_contain_text("every window here is over")


def test_taps_survive_a_reload_where_storage_works(page: Page) -> None:
    tap(page, "good", "still", "clear")
    page.reload()
    assert offered(page) == ["White Post Gap", "Gorse Bank", "Far Pines"]


def ground(page: Page) -> str:
    return str(page.evaluate("getComputedStyle(document.documentElement).backgroundColor"))


def test_dim_before_dawn_and_paper_by_hand(page: Page) -> None:
    assert ground(page) == "rgb(6, 2, 1)"
    assert page.evaluate("getComputedStyle(document.documentElement).colorScheme") == "dark"
    page.locator("#theme").tap()
    assert ground(page) == "rgb(241, 241, 232)"
    expect(page.locator("#theme")).to_have_text("Dim light")
    assert page.locator("meta[name=theme-color]").get_attribute("content") == "#F1F1E8"
    page.reload()
    assert ground(page) == "rgb(241, 241, 232)"


def test_paper_by_the_clock_after_sunrise(browser: Browser, sheet_file: Path) -> None:
    day = dt.datetime(2027, 11, 3, 8, 30, tzinfo=dt.UTC)
    with opened(browser, sheet_file, width=390, at=day) as page:
        assert ground(page) == "rgb(241, 241, 232)"


def test_dim_is_set_before_anything_is_painted(browser: Browser, sheet_file: Path) -> None:
    # A page that stops at the end of the head already has its ground.
    cut = sheet_file.with_name("head-only.html")
    text = sheet_file.read_text(encoding="utf-8")
    cut.write_text(text[: text.index("</head>")] + "</head><body></body></html>", encoding="utf-8")
    with opened(browser, cut, width=390) as page:
        assert ground(page) == "rgb(6, 2, 1)"


def test_works_with_storage_shut(browser: Browser, sheet_file: Path) -> None:
    with opened(browser, sheet_file, width=390, script=NO_STORAGE) as page:
        assert page.evaluate(
            "(() => { try { return !localStorage; } catch (e) { return true; } })()"
        )
        page.locator("#theme").tap()
        assert ground(page) == "rgb(241, 241, 232)"
        tap(page, "good", "still", "clear")
        assert offered(page) == ["White Post Gap", "Gorse Bank", "Far Pines"]


@pytest.mark.parametrize("width", [320, 360, 390, 430, 820, 1280])
def test_no_sideways_scrolling(browser: Browser, sheet_file: Path, width: int) -> None:
    with opened(browser, sheet_file, width=width) as page:
        tap(page, "good", "still", "clear")
        for summary in page.locator("summary").all():
            summary.tap()
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_text_at_twice_the_size_still_fits(browser: Browser, sheet_file: Path) -> None:
    # WCAG 2.2, 1.4.10: 320 CSS pixels is a 1280 pixel window at 400 %.
    with opened(browser, sheet_file, width=320) as page:
        for selector in (".times li", ".taps span", "#found", ".bar a"):
            boxes = page.locator(selector).evaluate_all(
                "all => all.map(one => [one.scrollWidth, one.clientWidth])"
            )
            assert boxes
            assert all(inner <= outer + 1 for inner, outer in boxes), selector


@pytest.mark.parametrize("width", [320, 390, 1280])
def test_targets_are_large_enough_for_gloves(
    browser: Browser, sheet_file: Path, width: int
) -> None:
    with opened(browser, sheet_file, width=width) as page:
        for selector, least in (("button", 44), ("summary", 44), (".taps label", 60)):
            sizes = page.locator(selector).evaluate_all(
                "all => all.map(one => one.getBoundingClientRect())"
                ".map(box => [box.width, box.height])"
            )
            assert sizes
            assert all(min(size) >= least for size in sizes), (selector, sizes)
        if width < 760:
            for box in page.locator(".bar a").evaluate_all(
                "all => all.map(one => one.getBoundingClientRect())"
                ".map(box => [box.width, box.height])"
            ):
                assert box[0] >= 60
                assert box[1] >= 60


@pytest.mark.parametrize("width", [320, 390, 1280])
def test_figures_are_never_shrunk(browser: Browser, sheet_file: Path, width: int) -> None:
    with opened(browser, sheet_file, width=width) as page:
        scales = page.locator("figure svg").evaluate_all(
            "all => all.map(one => one.getBoundingClientRect().width / one.viewBox.baseVal.width)"
            ".filter(scale => scale > 0)"
        )
        assert len(scales) == 2
        assert min(scales) >= 0.999


@pytest.mark.parametrize("width", [320, 390, 430, 760, 1280])
def test_a_time_stands_on_one_line_in_its_column(
    browser: Browser, sheet_file: Path, width: int
) -> None:
    with opened(browser, sheet_file, width=width) as page:
        times = page.locator(".times time").evaluate_all(
            """all => all.map(one => {
            const box = one.getBoundingClientRect(), said = one.nextElementSibling;
            return [box.height / parseFloat(getComputedStyle(one).fontSize),
                said.getBoundingClientRect().left - box.left - one.scrollWidth];})"""
        )
        assert len(times) > 3
        for lines, clear_px in times:
            assert lines < 1.5
            assert clear_px >= 4.0


def test_letters_are_large_and_times_largest(page: Page) -> None:
    sizes = page.evaluate(
        """() => [...document.querySelectorAll('.screen *')]
        .filter(one => one.offsetParent && [...one.childNodes].some(
            child => child.nodeType === 3 && child.textContent.trim()))
        .map(one => [parseFloat(getComputedStyle(one).fontSize), one.tagName])"""
    )
    assert min(size for size, _ in sizes) >= 14.5
    assert max(sizes)[1] == "TIME"


def test_the_bar_never_covers_what_is_gone_to(page: Page) -> None:
    for name in ("arrival", "ifnot", "times"):
        page.locator(f".bar a[href='#{name}']").tap()
        top, bar = page.evaluate(
            "name => [document.getElementById(name).getBoundingClientRect().top,"
            "document.querySelector('.bar').getBoundingClientRect().top]",
            name,
        )
        assert -1 <= top < bar


def test_figure_reads_out_by_keys_buttons_and_tap(page: Page) -> None:
    reading = page.locator(".reading")
    strip = page.locator(".strip")
    strip.focus()
    page.keyboard.press("ArrowRight")
    expect(reading).to_contain_text("06:15–06:30: mist about 4 in 10")
    page.locator(".later").tap()
    expect(reading).to_contain_text("06:30–06:45")
    page.locator(".earlier").tap()
    expect(reading).to_contain_text("06:15–06:30")
    box = page.locator(".strip .phone svg").bounding_box()
    assert box is not None
    # 07:45 lies 90 of the 195 drawn minutes along.
    page.mouse.click(box["x"] + box["width"] * (90 + 5) / 195, box["y"] + 60)
    expect(reading).to_contain_text("07:45–08:00")


def test_taps_can_be_reached_and_chosen_by_keys(page: Page) -> None:
    page.locator("input[name=mist][value=none]").focus()
    page.keyboard.press("ArrowRight")
    assert page.locator("input[name=mist]:checked").get_attribute("value") == "wisps"
    outline = page.evaluate(
        "getComputedStyle(document.querySelector('input[name=mist]:checked + span')).outlineWidth"
    )
    assert outline == "3px"


def test_only_one_size_of_the_figure_is_heard(page: Page) -> None:
    shown = page.locator(".strip svg").evaluate_all(
        "all => all.filter(one => one.getBoundingClientRect().width > 0).length"
    )
    assert shown == 1


def test_nothing_moves_when_motion_is_unwanted(browser: Browser, sheet_file: Path) -> None:
    with opened(browser, sheet_file, width=390) as page:
        page.emulate_media(reduced_motion="reduce")
        seconds = page.evaluate(
            "getComputedStyle(document.querySelector('.taps span')).transitionDuration"
        )
        assert seconds == "0s"


def test_print_view_shows_the_faces_alone_in_black(page: Page) -> None:
    page.emulate_media(media="print")
    assert page.locator(".screen").evaluate("one => getComputedStyle(one).display") == "none"
    colours = page.locator(".faces *").evaluate_all(
        "all => [...new Set(all.map(one => getComputedStyle(one).color))]"
    )
    assert colours == ["rgb(0, 0, 0)"]


def test_no_face_is_overfull_when_printed(page: Page) -> None:
    page.emulate_media(media="print")
    sizes = page.locator(".face").evaluate_all(
        "all => all.map(one => [one.scrollHeight, one.clientHeight, one.className])"
    )
    assert len(sizes) == 4
    for inner, outer, name in sizes:
        assert inner <= outer, name


def test_opens_from_disk_in_under_a_second(browser: Browser, sheet_file: Path) -> None:
    # A page with a set clock has no timings of its own, so this one goes by the machine's.
    context = browser.new_context(viewport={"width": 390, "height": 844}, offline=True)
    page = context.new_page()
    page.goto(sheet_file.as_uri(), wait_until="load")
    page.wait_for_function("performance.getEntriesByType('navigation')[0].loadEventEnd > 0")
    spent_ms = page.evaluate("performance.getEntriesByType('navigation')[0].loadEventEnd")
    context.close()
    assert 0 < spent_ms < 1000


def test_a_sheet_of_another_day_says_so(browser: Browser, sheet_file: Path) -> None:
    later = dt.datetime(2027, 11, 6, 6, 0, tzinfo=dt.UTC)
    with opened(browser, sheet_file, width=390, at=later) as page:
        expect(page.locator("#age")).to_contain_text("it is over")
        tap(page, "good", "still", "clear")
        assert len(offered(page)) == 3
    with opened(browser, sheet_file, width=390) as page:
        expect(page.locator("#age")).to_be_empty()


@pytest.mark.parametrize("word", ["birch ", "Wiltingham-on-the-Water ", "iiii llll ", "WWWW "])
def test_worked_out_heights_hold_for_any_words(
    browser: Browser, sheet_file: Path, word: str
) -> None:
    # Faces are laid out before anything is rendered: a browser must not need more room.
    context = wennick.context()
    first = context.first
    assert first is not None
    full = dataclasses.replace(
        context,
        first=dataclasses.replace(
            first,
            find_it_again=tuple(word * n for n in (3, 7, 12, 20)),
            set_lines=tuple(("wants", word * n) for n in (2, 9, 21)),
        ),
        found_lines=tuple((f"{word}{n}", word * n) for n in (1, 4, 8, 15, 30)),
        cautions=tuple(f"Mind: {word * n}." for n in (2, 6, 11, 25)),
    )
    path = sheet_file.with_name("full.html")
    path.write_text(sheet_html(full), encoding="utf-8")
    with opened(browser, path, width=800) as page:
        page.emulate_media(media="print")
        sizes = page.locator(".face").evaluate_all(
            "all => all.map(one => [one.scrollHeight, one.clientHeight,"
            "one.scrollWidth, one.clientWidth])"
        )
        assert len(sizes) > 4
        for tall, room, wide, across in sizes:
            assert tall <= room
            assert wide <= across + 18  # the row of boxes may hang over by its last gap
