"""The log and its counts in words."""

from shivelight.cli.say.words import date_words, item, lines
from shivelight.outing.found import SaidFound
from shivelight.workbench.results import WoodPage


def logged(page: WoodPage, width: int) -> str:
    """Say what was kept and what the counts are now."""
    last = max(page.logs, key=lambda log: log.day)
    return lines(
        f"{page.wood.name}: {len(page.logs)} logged, the latest {date_words(last.day)}, "
        f"mist {last.mist}.",
        item("counts", [page.counts.words], width),
    )


def said_found(one: SaidFound, width: int, *, name: str) -> str:
    """Say how often mist was said and found."""
    return lines(
        f"{name}: {one.words}.",
        item("said", [f"mist found on {one.said.words} for which it was said"], width),
        item("not said", [f"mist found on {one.unsaid.words} for which it was not"], width),
    )
