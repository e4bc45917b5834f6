"""Every page, on a laptop and a phone, on paper and dim: access, width, silence, no outside."""

import re
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from tests.web.visitor import Visitor, quiet

PAGES = (
    "/evening",
    "/evening?day=2027-11-06",
    "/spots",
    "/spot?name=White Post Gap",
    "/spot/new",
    "/spot/edit?name=White Post Gap",
    "/spot/wishes?name=White Post Gap",
    "/spot/skyline?name=White Post Gap",
    "/woods",
    "/wood?name=Pinnet Heath",
    "/wood/new",
    "/wood/edit?name=Pinnet Heath",
    "/wood/outline?name=Pinnet Heath",
    "/wood/raster?name=Pinnet Heath",
    "/sheet",
    "/word",
    "/arrive",
    "/arrive?mist=good&air=still&light=clear",
    "/stand",
    "/stand?spot=Plumb and Lean",
    "/stand?spot=Root Stair",
    "/survey?spot=Plumb and Lean",
    "/survey?spot=Plumb and Lean&change=Crook",
    "/survey/pair?spot=Plumb and Lean",
    "/marks?spot=Plumb and Lean",
    "/marks?spot=Plumb and Lean&d.Plumb=7.1&d.gate post=5.9",
    "/layers?spot=Plumb and Lean&range=120",
    "/log",
    "/kit",
    "/settings",
    "/devices",
    "/help",
    "/start",
    "/wood?name=No such wood",
)
LOOKS = [(1280, "paper"), (1280, "dim"), (390, "paper"), (390, "dim")]
AUDITED = {(1280, "paper"), (390, "dim")}
"""Each width and each theme is audited once; the colours of a theme are the same at any width."""
GRAVE = {"serious", "critical"}
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}


def _opened(
    browser: Browser, address: str, path: str, look: tuple[int, str]
) -> tuple[Page, list[str]]:
    width, theme = look
    context = browser.new_context(viewport={"width": width, "height": 900})
    context.add_cookies([{"name": "shivelight-theme", "value": theme, "url": address}])
    page = context.new_page()
    told = quiet(page)
    page.goto(address + path)
    page.wait_for_url(lambda there: "/job?" not in there, timeout=120_000)  # a first search
    return page, told


def _said(violation: dict[str, Any]) -> str:
    return f"{violation['id']}: {[one['html'][:160] for one in violation['nodes'][:3]]}"


@pytest.mark.browser
@pytest.mark.parametrize("look", LOOKS, ids=lambda look: f"{look[0]}-{look[1]}")
@pytest.mark.parametrize("path", PAGES)
def test_a_page_can_be_used_by_everybody(
    browser: Browser, read_only_valley: str, path: str, look: tuple[int, str]
) -> None:
    page, told = _opened(browser, read_only_valley, path, look)
    if look in AUDITED:
        found = Axe().run(page, options=RULES).response
        assert [_said(one) for one in found["violations"] if one["impact"] in GRAVE] == []
        assert len(found["passes"]) > 10
    assert page.evaluate("document.documentElement.scrollWidth") <= look[0]
    missing = "No such" in path
    assert [one for one in told if not (missing and "404" in one)] == []
    page.context.close()


@pytest.mark.browser
def test_dim_is_there_before_the_first_paint(browser: Browser, read_only_valley: str) -> None:
    page, _ = _opened(browser, read_only_valley, "/evening", (390, "dim"))
    text = page.content()
    assert '<html lang="en-GB" data-theme="dim"' in text
    assert '<meta name="color-scheme" content="dark">' in text
    ground = page.evaluate("getComputedStyle(document.documentElement).backgroundColor")
    assert ground == "rgb(6, 2, 1)"
    page.context.close()


@pytest.mark.browser
def test_targets_on_the_phone_are_large(browser: Browser, read_only_valley: str) -> None:
    for path in ("/log", "/arrive", "/evening", "/kit"):
        page, _ = _opened(browser, read_only_valley, path, (390, "paper"))
        small = page.evaluate(
            """() => [...document.querySelectorAll("main button, main .btn, .taps label")]
            .filter(one => one.offsetParent && one.getBoundingClientRect().height < 47)
            .map(one => one.outerHTML.slice(0, 90))"""
        )
        assert small == [], path
        page.context.close()


@pytest.mark.parametrize("path", PAGES)
def test_a_page_asks_for_nothing_outside_and_holds_no_inline_code(
    valley: Visitor, path: str
) -> None:
    answer = valley.get(path)
    outside = [
        one
        for one in re.findall(r'(?:src|href|action)="([^"]+)"', answer.text)
        if not one.startswith(("/", "#", "?"))
    ]
    assert outside == []
    assert re.findall(r"<script(?![^>]*\bsrc=)(?![^>]*application/json)", answer.text) == []
    assert re.findall(r'\son[a-z]+="', answer.text) == []
    assert re.findall(r"<style|\sstyle=\"", answer.text) == []
    policy = answer.headers["content-security-policy"]
    assert "unsafe-inline" not in policy


@pytest.mark.parametrize("path", PAGES)
def test_a_page_has_one_heading_a_title_and_labels(valley: Visitor, path: str) -> None:
    text = valley.get(path).text
    assert len(re.findall(r"<h1\b", text)) == 1
    assert re.search(r"<title>[^<]+ – shivelight</title>", text)
    figures = re.findall(r"<svg\b[^>]*>", text)
    assert [one for one in figures if 'role="img"' not in one and "aria-hidden" not in one] == []


@pytest.mark.parametrize("path", PAGES)
def test_the_json_of_a_page_is_one_document(valley: Visitor, path: str) -> None:
    said = valley.json(path)
    assert isinstance(said, dict)
    if "No such" in path:
        assert set(said) == {"error"}
        assert set(said["error"]) == {"status", "kind", "sentence"}
