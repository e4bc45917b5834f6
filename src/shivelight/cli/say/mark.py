"""Marks in words."""

from shivelight.cli.say.words import blocks, item, lines, para
from shivelight.drawing.tables import table
from shivelight.workbench.mark import MarkFound, MarkPage


def page(one: MarkPage, width: int) -> str:
    """Show the anchors and what is weak about them."""
    told = one.strength
    oval = told.oval if told else None
    again = (
        f"to about {oval.long_m * 100.0:.0f} cm in 2 of 3 tries, measured again as it was noted"
        if oval
        else "not known: too few of its anchors are surveyed"
    )
    return lines(
        f"{one.spot}: how to find the mark again",
        item("anchors", one.lines or ["none yet"], width),
        item("found again", [again], width) if one.lines else "",
        item("weak", one.notes, width) if one.notes else "",
    )


def found(one: MarkFound, width: int) -> str:
    """Say where one stands, then how it was worked out."""
    fix = one.fix
    oval = fix.oval
    rows = [
        (
            misfit.what,
            f"{misfit.off * 100.0:+.1f} cm" if misfit.unit == "m" else f"{misfit.off:+.2f}°",
        )
        for misfit in fix.misfits
    ]
    return blocks(
        para(one.words, width),
        lines(*(para(why, width, indent=2) for why in one.left_out)),
        table(rows, ("measured", "off by"), width=width),
        para(
            f"In 2 of 3 tries you stand in an oval of {oval.long_m * 200.0:.0f} by "
            f"{oval.short_m * 200.0:.0f} cm, its long axis {oval.turn_deg:.0f}° to the right of "
            "the view.",
            width,
            indent=2,
        ),
    )
