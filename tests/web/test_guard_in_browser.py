"""The guard as Chromium meets it: our own forms work, another site's do not."""

import http.server
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tests.web.live import Live, live

pytestmark = pytest.mark.browser


@pytest.fixture
def home(tmp_path: Path) -> Iterator[Live]:
    with live(tmp_path) as running:
        yield running


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    with browser.new_context() as context:
        yield context.new_page()


@contextmanager
def other_site(html: str) -> Iterator[str]:
    """Another site: "localhost", which to a browser is another than 127.0.0.1."""

    class Handler(http.server.BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200)
            self.send_header("content-type", "text/html")
            self.end_headers()
            self.wfile.write(html.encode())

        def log_message(self, format: str, *args: object) -> None:  # noqa: A002  its name there
            del format, args

    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), Handler) as server:
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        try:
            yield f"http://localhost:{server.server_address[1]}/"
        finally:
            server.shutdown()
            thread.join()


def test_a_form_of_our_own_is_taken_with_the_origin_that_the_policy_leaves(
    home: Live, page: Page
) -> None:
    page.goto(home.address)
    with page.expect_request("**/write") as sent:
        page.get_by_role("button", name="Send").click()
    page.wait_for_url("**/write")
    assert page.title() == "written"
    assert home.app.state.written == ["bracken"]
    headers = sent.value.all_headers()
    assert headers["origin"] == home.address  # "null" under the policy "no-referrer"
    assert headers["sec-fetch-site"] == "same-origin"


def test_the_form_is_taken_again_after_going_back(home: Live, page: Page) -> None:
    for _ in range(2):
        page.goto(home.address)
        page.get_by_role("button", name="Send").click()
        page.wait_for_url("**/write")
    page.go_back()
    page.get_by_role("button", name="Send").click()
    page.wait_for_url("**/write")
    assert home.app.state.written == ["bracken"] * 3


def test_a_form_of_another_site_is_refused(home: Live, page: Page) -> None:
    page.goto(home.address)  # the visitor has a session with us
    token = page.locator("input[name=form_token]").get_attribute("value")
    forged = (
        f'<form method="post" action="{home.address}/write"><input name="form_token" '
        f'value="{token}"><input name="word" value="forged"><button>Win</button></form>'
    )
    with other_site(forged) as address:
        page.goto(address)
        with page.expect_response("**/write") as got:
            page.get_by_role("button", name="Win").click()
    assert got.value.status == 403
    assert "came from another site" in got.value.text()
    assert home.app.state.written == []


def test_a_script_of_another_site_neither_writes_nor_reads(home: Live, page: Page) -> None:
    page.goto(home.address)
    with other_site("<title>other</title>") as address:
        page.goto(address)
        said = page.evaluate(
            """async (home) => {
                const tried = [];
                for (const mode of ["cors", "no-cors"]) {
                    for (const method of ["GET", "POST"]) {
                        try {
                            const body = method === "POST" ? "word=forged" : undefined;
                            const got = await fetch(home + (body ? "/write" : "/"), {
                                method, mode, body, credentials: "include"});
                            tried.push(got.type + (await got.text()).length);
                        } catch (error) { tried.push("stopped"); }
                    }
                }
                return tried;
            }""",
            home.address,
        )
    assert set(said) <= {"stopped", "opaque0"}
    assert home.app.state.written == []


def test_no_page_of_ours_can_be_framed(home: Live, page: Page) -> None:
    with other_site(f'<iframe src="{home.address}/"></iframe>') as address:
        with page.expect_response(f"{home.address}/") as got:
            page.goto(address)
        assert got.value.status == 403
        frame = page.frames[1]
        assert frame.locator("input[name=form_token]").count() == 0


def test_a_link_from_another_site_keeps_the_session(home: Live, page: Page) -> None:
    page.goto(home.address)
    (before,) = page.context.cookies(home.address)
    with other_site(f'<a href="{home.address}/?a=b">there</a>') as address:
        page.goto(address)
        page.get_by_role("link", name="there").click()
        page.wait_for_url(f"{home.address}/?a=b")
        page.wait_for_function("document.title === 'page'")
    (after,) = page.context.cookies(home.address)
    assert after["value"] == before["value"]
    assert (after["httpOnly"], after["sameSite"]) == (True, "Strict")
    page.get_by_role("button", name="Send").click()
    page.wait_for_url("**/write")
    assert home.app.state.written == ["bracken"]


def test_an_inline_script_runs_by_its_hash_alone(home: Live, page: Page) -> None:
    page.goto(f"{home.address}/sheet")
    assert page.title() == "ran"
    page.goto(f"{home.address}/bare-script")
    assert page.title() == "sheet"


def test_a_body_that_is_too_large_shows_its_page_in_the_browser(home: Live, page: Page) -> None:
    page.goto(home.address)
    page.locator("input[name=word]").fill("x" * 2_000_000)
    page.get_by_role("button", name="Send").click()
    page.wait_for_function("document.body.innerText.includes('at most 20 kB')")
    assert home.app.state.written == []
