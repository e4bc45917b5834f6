"""The parts of a morning strip: darkness, mist columns, lances of light, the leaf row."""

from collections.abc import Iterator

import numpy as np

from shivelight.drawing.svg import Pen, clip_to_band
from shivelight.drawing.timescale import QUARTER, TimeScale
from shivelight.light.crowned import seen_light
from shivelight.outing.judgement import SpotOutlook

Band = tuple[float, float]
"""Top and ground of a strip [px]."""

LEVEL_LOW, LEVEL_HIGH = 0.65, 1.4
"""How far the level of the mist model may be off between places until a wood has a record of
its own, as measured when the model was designed; the soft edge runs between these multiples."""
_GAP_PX = 2.4
_LEAN_DEG = {"still": 0.0, "stirring": 26.0, "moving": 58.0}


def draw_darkness(
    pen: Pen, scale: TimeScale, band: Band, *, dawn_utc: np.datetime64 | None
) -> None:
    """Draw upright strokes that thin out to civil dawn."""
    if dawn_utc is None or dawn_utc <= scale.start_utc:
        return
    until = scale.x(dawn_utc)
    span = until - scale.left_px
    x = scale.left_px
    while x < until - 1.0:
        gone = (x - scale.left_px) / span
        pen.line(
            (x, band[0]),
            (x, band[1]),
            width=round(2.8 - 2.2 * gone, 1),
            opacity=0.85 - 0.55 * gone,
        )
        x += 4.5


def draw_mist(pen: Pen, scale: TimeScale, band: Band, *, outlook: SpotOutlook, soft: str) -> None:
    """Draw one column a quarter hour: full to the low end, soft to the high end, a line between.

    ``soft`` names the gradient of the soft edge; nothing for a column without one.
    A quarter hour that was not worked out (NaN) is a broken outline at no height.
    """
    top, ground = band
    high_px = ground - top
    for utc, chance in zip(outlook.mist.quarter_utc, outlook.mist.fog_frac, strict=True):
        if not (scale.start_utc <= utc and utc + QUARTER <= scale.end_utc):
            continue
        left = scale.x(utc) + _GAP_PX / 2.0
        wide = scale.x(utc + QUARTER) - _GAP_PX / 2.0 - left
        if not np.isfinite(chance):
            corners = [(left, ground), (left, ground - 14), (left + wide, ground - 14)]
            pen.path([*corners, (left + wide, ground)], token="ink2", dash="3 3")
            continue
        low, high = high_px * chance * LEVEL_LOW, high_px * min(chance * LEVEL_HIGH, 1.0)
        if pen.is_print or not soft:
            low = high = high_px * float(chance)  # a photocopy keeps no soft edge
        pen.box((left, ground - low), (wide, low), token="mist")
        pen.box((left, ground - high), (wide, high - low), token="mist", fill=f"url(#{soft})")
        if chance >= 0.005:
            y = ground - high_px * float(chance)
            pen.line((left, y), (left + wide, y), token="mist-ink", width=1.6)


def draw_lances(pen: Pen, scale: TimeScale, band: Band, *, outlook: SpotOutlook) -> None:
    """Draw slanting light from each clearing of the skyline; full strength inside the window."""
    best = outlook.best
    for window in seen_light(outlook.light):
        if window.end_utc <= scale.start_utc or window.start_utc >= scale.end_utc:
            continue
        left, right = scale.x(window.start_utc), scale.x(window.end_utc)
        inside = (0.0, 0.0)
        if best is not None:
            inside = (max(left, scale.x(best.start_utc)), min(right, scale.x(best.end_utc)))
        _lances(pen, band, (left, right), inside)
        if window.starts_at_skyline and scale.holds(window.start_utc):
            pen.line((left, band[0]), (left, band[1]), token="light", width=2.6)


def _lances(pen: Pen, band: Band, span: Band, inside: Band) -> None:
    outside = [span]
    if inside[1] > inside[0]:
        outside = [(span[0], min(inside[0], span[1])), (max(inside[1], span[0]), span[1])]
    lances = tuple(_slants(band, span))
    pen.area(*_cut(lances, [inside]), token="light")
    pen.area(*_cut(lances, outside), token="light", opacity=0.34)


def _slants(band: Band, span: Band) -> Iterator[list[tuple[float, float]]]:
    top, ground = band
    lean = (ground - top) * 0.62
    x, number = span[0], 0
    while x < span[1] + lean:
        # Three widths and three steps in turn, so that it reads as light and not as hatching.
        wide = (2.2, 4.4, 1.6)[number % 3]
        yield [(x, top), (x + wide, top), (x + wide * 1.4 - lean, ground), (x - lean, ground)]
        x += (9.0, 14.0, 11.0)[number % 3]
        number += 1


def _cut(
    lances: tuple[list[tuple[float, float]], ...], parts: list[Band]
) -> list[list[tuple[float, float]]]:
    cut = [clip_to_band(one, low, high) for low, high in parts if low < high for one in lances]
    return [one for one in cut if len(one) >= 3]


def draw_leaf(pen: Pen, scale: TimeScale, top: float, *, outlook: SpotOutlook) -> None:
    """Draw the air at the leaf: hung straight, leaning, leaning far, or a dot for not known."""
    ink = pen.paint("ink")
    for utc, air in zip(outlook.quarter_utc, outlook.leaf_air, strict=True):
        if not (scale.start_utc <= utc and utc + QUARTER <= scale.end_utc):
            continue
        x = (scale.x(utc) + scale.x(utc + QUARTER)) / 2.0
        if air not in _LEAN_DEG:
            pen.ring((x, top + 9.0), 1.6, token="ink2")
            continue
        pen.add(leaf_shape((x, top), lean_deg=_LEAN_DEG[air], ink=ink))


def leaf_shape(at: tuple[float, float], *, lean_deg: float, ink: str) -> str:
    """One hanging leaf on its stalk."""
    turn = f" rotate({-lean_deg:g})" if lean_deg else ""
    return (
        f'<g transform="translate({at[0]:.1f} {at[1]:.1f}){turn}">'
        f'<path d="M0 0V5" stroke="{ink}" stroke-width="1.3"/>'
        f'<path d="M0 4C5 7 4.6 13 0 18C-4.6 13-5 7 0 4Z" fill="{ink}"/></g>'
    )
