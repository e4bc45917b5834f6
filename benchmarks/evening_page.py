"""The Evening page with 40 spots in Chromium: from the request to the last paint, and its weight.

Bound: one second and 400 kB. The peer is Python's own ``http.server`` giving the very same bytes
of the page as a file, opened by the same browser in the same run: what is more is our work.
"""

import functools
import http.server
import secrets
import statistics
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from evening import MEMBERS, NOW, fill
from playwright.sync_api import Browser, sync_playwright

from shivelight.web.app import build_app
from shivelight.web.doors import open_doors
from shivelight.web.house import House
from shivelight.web.serve import guarded, server_for
from shivelight.workbench.bench import Workbench
from shivelight.workbench.settings import Settings

BOUND_S, BOUND_KB = 1.0, 400
TRIES = 5
FULLY_PAINTED = """() => new Promise(done => document.fonts.ready.then(() =>
    requestAnimationFrame(() => requestAnimationFrame(() => done(performance.now() / 1000)))))"""
WEIGHT = """() => ["navigation", "resource"].flatMap(kind => performance.getEntriesByType(kind))
    .reduce((sum, one) => sum + one.transferSize, 0)"""


@contextmanager
def ours(settings: Settings) -> Iterator[str]:
    """Serve the book as ``shivelight open`` does."""
    house = House(settings=settings, now_utc=NOW, secret=secrets.token_bytes(32))
    with open_doors(18_300) as doors:
        server = server_for(guarded(build_app(house), house, doors))
        thread = threading.Thread(target=server.run, kwargs={"sockets": list(doors.sockets)})
        thread.start()
        yield doors.address
        server.should_exit = True
        thread.join()


@contextmanager
def peer(folder: Path) -> Iterator[str]:
    """Serve a folder with the standard library."""
    handler = functools.partial(Quiet, directory=str(folder))
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_address[1]}"
        server.shutdown()


class Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, *_: object) -> None:
        return


def opened(browser: Browser, address: str) -> tuple[float, float, str]:
    """Open a page anew: seconds to its last paint, kB that came, its own text."""
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    page = context.new_page()
    page.goto(address, wait_until="load")
    spent_s = float(page.evaluate(FULLY_PAINTED))
    text = page.evaluate("document.documentElement.outerHTML")
    weight = float(page.evaluate(WEIGHT))
    context.close()
    return spent_s, weight / 1000.0, str(text)


def main() -> int:
    """Open both pages a few times, each in a browser without a cache."""
    with tempfile.TemporaryDirectory() as name, sync_playwright() as driver:
        folder = Path(name)
        settings = Settings(book=str(folder / "book.sqlite"), members=MEMBERS)
        with Workbench.open(settings, create=True, now=NOW) as bench:
            fill(bench, folder)
            bench.judge()
        browser = driver.chromium.launch(
            executable_path="/usr/bin/chromium", args=["--no-sandbox", "--disable-gpu"]
        )
        with ours(settings) as address:
            time.sleep(3.0)  # what is read ahead at the start is read
            first_s, weight_kb, text = opened(browser, f"{address}/evening")
            mine = [opened(browser, f"{address}/evening")[0] for _ in range(TRIES)]
        (folder / "page.html").write_text(text, encoding="utf-8")
        with peer(folder) as address:
            theirs = [opened(browser, f"{address}/page.html")[0] for _ in range(TRIES)]
        browser.close()
    usual, plain = statistics.median(mine), statistics.median(theirs)
    print(
        f"evening page, 40 spots: first {first_s:.2f} s, then {usual:.2f} s to the last paint "
        f"(bound {BOUND_S} s), {weight_kb:.0f} kB (bound {BOUND_KB}); the same bytes from "
        f"http.server {plain:.2f} s, ratio {usual / plain:.1f}"
    )
    return 0 if usual <= BOUND_S and weight_kb <= BOUND_KB else 1


if __name__ == "__main__":
    raise SystemExit(main())
