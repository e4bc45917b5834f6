"""Layers in mist as their page says them."""

from collections.abc import Mapping
from dataclasses import dataclass

from shivelight.drawing.figure import Figure
from shivelight.web.boxes import Box, opened
from shivelight.web.show import link
from shivelight.workbench.stand import LayersFound

USUAL_M = 120.0
"""Optical range that is drawn before one is paced: good mist. A judgement. [m]"""
HEADERS = ("layer", "distance", "step to the next one behind")


@dataclass(frozen=True, slots=True, kw_only=True)
class LayersPage:
    """How the layers of a spot part.

    Attributes
    ----------
    spot : str
        Which.
    answer : str
        The window that parts them best.
    now : str
        What the paced range gives.
    stair : Figure or None
        The layer stair.
    headers, rows : tuple
        The steps as a table.
    range : Box
        What is asked.
    wish : str
        The wish that is offered; empty where nothing can be.
    wrong : str
        Why nothing could be told.
    hrefs : dict of str to str
        Pages that belong to it.
    """

    spot: str
    answer: str
    now: str
    stair: Figure | None
    headers: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    range: Box
    wish: str
    wrong: str
    hrefs: Mapping[str, str]


def layers_page(
    spot: str, typed: str, found: LayersFound | None, *, stair: Figure | None, wrong: str
) -> LayersPage:
    """Put the page together."""
    text = typed or f"{USUAL_M:g}"
    return LayersPage(
        spot=spot,
        answer=_answer(found),
        now="" if found is None else _now(found, is_paced=bool(typed)),
        stair=stair,
        headers=HEADERS,
        rows=() if found is None else _rows(found),
        range=Box(
            key="range",
            label="Optical range, paced",
            unit="m",
            hint="Pace to the last trunk that you can just make out.",
            text=text,
        ),
        wish="" if found is None else found.wish,
        wrong=opened(wrong),
        hrefs={
            "spot": link("/spot", name=spot),
            "stand": link("/stand", spot=spot),
            "survey": link("/survey", spot=spot),
        },
    )


def _answer(found: LayersFound | None) -> str:
    if found is None:
        return "No layers can be told yet."
    low, high = found.wish.removeprefix("mist ").removesuffix(" m").split(" to ")
    return f"These layers part best where one sees {low} to {high} m."


def _now(found: LayersFound, *, is_paced: bool) -> str:
    least = min(range(len(found.step_ev)), key=lambda at: found.step_ev[at])
    near, far = found.names[least], found.names[least + 1]
    paced = "At the paced" if is_paced else "At an assumed"
    return (
        f"{paced} {found.optical_range_m:g} m the smallest step is {found.step_ev[least]:.2f} "
        f"stops, from {near} to {far}. Rough: even light, dark trunks, mist of one thickness."
    )


def _rows(found: LayersFound) -> tuple[tuple[str, ...], ...]:
    steps = [f"{one:.2f} stops" for one in found.step_ev] + ["none behind"]
    return tuple(
        (name, f"{away:.0f} m", step)
        for name, away, step in zip(found.names, found.distances_m, steps, strict=True)
    )
