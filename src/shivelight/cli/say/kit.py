"""The kit in words."""

from shivelight.cli.say.words import blocks
from shivelight.drawing.tables import table
from shivelight.outing.kit import Kit


def kit(bag: Kit, width: int) -> str:
    """List bodies and lenses."""
    if not bag.bodies and not bag.lenses:
        return "The kit is empty. Add a body with: shivelight kit body NAME --sensor '36 x 24' ..."
    return blocks(_bodies(bag, width), _lenses(bag, width))


def _bodies(bag: Kit, width: int) -> str:
    rows = [
        (
            one.name,
            f"{one.sensor_width_mm:g} x {one.sensor_height_mm:g} mm",
            str(one.pixels_across),
            str(one.base_iso),
        )
        for one in bag.bodies
    ]
    return (
        table(rows, ("body", "sensor", "pixels across", "base ISO"), width=width) if rows else ""
    )


def _lenses(bag: Kit, width: int) -> str:
    rows = [
        (
            one.name,
            f"{one.shortest_mm:g} mm"
            if one.shortest_mm == one.longest_mm
            else f"{one.shortest_mm:g} to {one.longest_mm:g} mm",
            f"f/{one.widest_f_number:g}",
            f"{one.nearest_focus_m:g} m",
        )
        for one in bag.lenses
    ]
    return table(rows, ("lens", "focal length", "widest", "nearest"), width=width) if rows else ""
