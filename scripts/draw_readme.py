"""Put into the README what the demo really prints and makes: its first block, its pictures.

Runs the demo itself; needs Chromium and pdftoppm (Debian: poppler-utils) for the pictures.
"""

import argparse
import os
import shutil
import signal
import subprocess
import sys
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

ROOT = Path(__file__).resolve().parent.parent
FIGURES = ROOT / "docs" / "figures"
DAY = "2027-11-03"
PHONE = {"width": 390, "height": 1180}
LAPTOP = {"width": 1280, "height": 1130}
SETTLED_MS, LONGEST_JOB_MS = 400, 180_000
SPOT = "/spot?name=White%20Post%20Gap&day=2027-11-03"
SCREENS = (
    ("screen-evening", "/evening", "paper", LAPTOP),
    ("screen-spot", SPOT, "paper", LAPTOP),
    ("screen-stand", "/stand?spot=Plumb%20and%20Lean", "paper", {"width": 1280, "height": 2130}),
    ("screen-evening-phone", "/evening", "dim", PHONE),
    ("screen-arrive-phone", "/arrive?mist=good&air=still&light=clear", "dim", PHONE),
)


def main() -> int:
    """Run the demo, copy its words, draw the phone, the A4 and the skyline roll."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--demo", type=Path, default=ROOT / "demo-out")
    demo: Path = parser.parse_args().demo.resolve()
    copy_words(demo)
    browser_path = shutil.which("chromium")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=browser_path, args=["--no-sandbox", "--disable-gpu"]
        )
        page = browser.new_page(viewport=PHONE)
        page.goto((demo / f"morning-sheet-{DAY}.html").as_uri())
        page.wait_for_timeout(300)
        page.screenshot(path=FIGURES / "sheet-phone.png")
        draw_screens(browser, demo)
        browser.close()
    subprocess.run(
        ["pdftoppm", "-r", "72", "-png", "-gray", "-singlefile",
         str(demo / f"morning-sheet-{DAY}.pdf"), str(FIGURES / "sheet-a4")],
        check=True,
    )  # fmt: skip
    subprocess.run(
        [str(Path(sys.executable).with_name("shivelight")), "--book", str(demo / "wennick.sqlite"),
         "light", "on", "White Post Gap", DAY, "--picture", str(FIGURES / "roll.svg")],
        check=True,
    )  # fmt: skip
    return 0


def draw_screens(browser: Browser, demo: Path) -> None:
    """Open the demo's book in the browser and take its pages as pictures."""
    port = 18_417
    command = [
        str(Path(sys.executable).with_name("shivelight")), "--book", str(demo / "wennick.sqlite"),
        "--now", "2027-11-02 21:40", "--zone", "Europe/London", "open", "--no-browser",
        "--port", str(port),
    ]  # fmt: skip
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as served:
        assert served.stdout is not None
        served.stdout.readline()  # it is told once the port is there
        for name, path, theme, size in SCREENS:
            context = browser.new_context(viewport=size)
            address = f"http://127.0.0.1:{port}"
            context.add_cookies([{"name": "shivelight-theme", "value": theme, "url": address}])
            page = context.new_page()
            page.goto(address + path, wait_until="load")
            page.wait_for_function("!document.getElementById('job')", timeout=LONGEST_JOB_MS)
            page.wait_for_timeout(SETTLED_MS)
            page.screenshot(path=FIGURES / f"{name}.png")
            context.close()
        served.send_signal(signal.SIGINT)


def copy_words(demo: Path) -> None:
    """Put the demo's answer and its table of spots into the README."""
    done = subprocess.run(
        [str(Path(sys.executable).with_name("shivelight")), "demo", "--out", str(demo)],
        check=True, capture_output=True, text=True, env={**os.environ, "COLUMNS": "88"},
    )  # fmt: skip
    told = done.stdout[: done.stdout.index("\n1. ")].rstrip()
    readme = ROOT / "README.md"
    text = readme.read_text(encoding="utf-8")
    start = text.index("```\nThe Wennick valley is invented")
    end = text.index("```", start + 4)
    readme.write_text(f"{text[:start]}```\n{told}\n{text[end:]}", encoding="utf-8")


if __name__ == "__main__":
    sys.exit(main())
