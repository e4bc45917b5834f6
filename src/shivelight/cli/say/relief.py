"""Relief pictures and outlines in words."""

from shivelight.cli.say.words import item, lines
from shivelight.workbench.outlines import OutlineDrawn
from shivelight.workbench.relief_view import ReliefWritten


def written(one: ReliefWritten, width: int) -> str:
    """Say what the picture shows, how fine, and where its heights come from."""
    centre = f"{one.centre.latitude_deg:.5f}, {one.centre.longitude_deg:.5f}"
    return lines(
        f"{one.wood}: {one.path} written.",
        item("shows", [one.sentence], width),
        item("middle", [centre], width),
        item("pixel", [f"{one.pixel_m:.2f} m of ground"], width),
        item("comes from", [one.source], width),
    )


def drawn(one: OutlineDrawn, width: int) -> str:
    """Say that a wood has its outline, and what was changed in reading it."""
    return lines(
        f"{one.page.wood.name} has an outline of {one.corners} corners.",
        item("note", one.notes, width) if one.notes else "",
    )
