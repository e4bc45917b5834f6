"""Write the documentation pages that are made from the code: commands and settings."""

from pathlib import Path

from shivelight.cli.reference import commands_page, settings_page

DOCS = Path(__file__).resolve().parent.parent / "docs"


def main() -> None:
    """Write both pages and say so."""
    for name, page in (("commands.md", commands_page()), ("settings.md", settings_page())):
        (DOCS / name).write_text(page, encoding="utf-8")
        print(f"written: docs/{name}")


if __name__ == "__main__":
    main()
