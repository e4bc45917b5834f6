"""The kit as the page says it."""

from dataclasses import dataclass

from shivelight.outing.kit import Kit
from shivelight.web.forms import Form


@dataclass(frozen=True, slots=True, kw_only=True)
class KitPage:
    """The bag.

    Attributes
    ----------
    bodies, lenses : tuple of (str, str)
        Name and facts of each.
    body, lens : Form
        To put another in.
    """

    bodies: tuple[tuple[str, str], ...]
    lenses: tuple[tuple[str, str], ...]
    body: Form
    lens: Form


def kit_page(kit: Kit, *, body: Form, lens: Form) -> KitPage:
    """Write the kit out."""
    return KitPage(
        bodies=tuple(
            (
                one.name,
                f"{one.sensor_width_mm:g} × {one.sensor_height_mm:g} mm, "
                f"{one.pixels_across} pixels across, ISO {one.base_iso} and up",
            )
            for one in kit.bodies
        ),
        lenses=tuple(
            (
                one.name,
                f"{_reach(one.shortest_mm, one.longest_mm)} mm, f/{one.widest_f_number:g}, "
                f"focuses from {one.nearest_focus_m:g} m",
            )
            for one in kit.lenses
        ),
        body=body,
        lens=lens,
    )


def _reach(shortest_mm: float, longest_mm: float) -> str:
    if shortest_mm == longest_mm:
        return f"{shortest_mm:g}"
    return f"{shortest_mm:g} to {longest_mm:g}"
