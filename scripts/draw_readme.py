"""Draw the README's pictures from the demo, so that they show what it really makes.

Needs the demo's papers (``make demo``), Chromium and pdftoppm (Debian: poppler-utils).
"""

import argparse
import shutil
import subprocess
import sys
from pathlib import Path

from playwright.sync_api import sync_playwright

ROOT = Path(__file__).resolve().parent.parent
FIGURES = ROOT / "docs" / "figures"
DAY = "2027-11-03"
PHONE = {"width": 390, "height": 1180}


def main() -> int:
    """Draw the phone, the A4 and the skyline roll."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--demo", type=Path, default=ROOT / "demo-out")
    demo: Path = parser.parse_args().demo.resolve()
    browser_path = shutil.which("chromium")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=browser_path, args=["--no-sandbox", "--disable-gpu"]
        )
        page = browser.new_page(viewport=PHONE)
        page.goto((demo / f"morning-sheet-{DAY}.html").as_uri())
        page.wait_for_timeout(300)
        page.screenshot(path=FIGURES / "sheet-phone.png")
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


if __name__ == "__main__":
    sys.exit(main())
