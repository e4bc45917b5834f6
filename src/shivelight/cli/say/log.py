"""The log and its counts in words."""

from shivelight.basis.chances import Count
from shivelight.cli.say.words import item, lines, para
from shivelight.drawing.words import date_words
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
        item("said", [_found(one.said, "it was said")], width),
        item("not said", [_found(one.unsaid, "it was not said")], width),
        para("Said: the chance of mist under 1 km was 5 in 10 or more.", width, indent=2),
    )


def _found(count: Count, when: str) -> str:
    if count.mornings == 0:
        return f"{when} on no morning yet"
    return f"mist found on {count.words} when {when}"
