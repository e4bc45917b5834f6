"""The layer stair: trunks near to far in their tone, each a riser above the last. Always rough."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from shivelight.basis.errors import BadInputError
from shivelight.drawing.figure import Figure
from shivelight.drawing.fit import cut_to, wrap
from shivelight.drawing.svg import Letters, Pen
from shivelight.scene.layers import MERGES_UNDER_EV, best_range_m, tone_steps, tones, wish_words

__all__ = ["Layer", "layer_stair_figure", "layer_stair_svg", "stair_sentence"]

STOP_PX = 58.0
PAGE_PX, PHONE_PX, PRINT_PX = 928.0, 358.0, 690.0
MOST_STAIRS = 3
_TITLE_PX, _FOOT_PX, _SHAFT_PX, _PLINTH_PX = 84.0, 50.0, 96.0, 26.0
_BETWEEN_PX = 28.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One trunk, or trunks nearly as far.

    Attributes
    ----------
    name : str
        What it is called.
    distance_m : float
        How far off. [m]
    """

    name: str
    distance_m: float


def layer_stair_figure(layers: Sequence[Layer], ranges_m: Sequence[float]) -> Figure:
    """Draw up to three stairs side by side: now, thinner, thicker.

    Parameters
    ----------
    layers : sequence of Layer
        Near to far, two or more.
    ranges_m : sequence of float
        Optical ranges; the paced one first. [m]
    """
    steps = [tone_steps([one.distance_m for one in layers], reach) for reach in ranges_m]
    rows = tuple(
        (
            f"{near.name}, {near.distance_m:g} m, to {far.name}, {far.distance_m:g} m",
            *(f"{one[number]:.2f} stops" for one in steps),
        )
        for number, (near, far) in enumerate(pairwise(layers))
    )
    return Figure(
        page=layer_stair_svg(layers, ranges_m, style="page"),
        phone=layer_stair_svg(layers, ranges_m, style="narrow"),
        sentence=stair_sentence(layers, ranges_m),
        headers=("step", *(f"sight {reach:g} m" for reach in ranges_m)),
        rows=rows,
    )


def layer_stair_svg(
    layers: Sequence[Layer], ranges_m: Sequence[float], *, style: str = "paper"
) -> str:
    """Draw one upright per layer, each higher by its step in tone, one stair per range.

    Parameters
    ----------
    layers : sequence of Layer
        Near to far, two or more.
    ranges_m : sequence of float
        Optical ranges, one to three. [m]
    style : {"paper", "dim", "print", "page", "narrow"}
        Colours; "narrow" is for a phone, one stair below another.
    """
    _require(layers, ranges_m)
    pen = Pen(style)
    narrow = style == "narrow"
    width = PHONE_PX if narrow else PRINT_PX if style == "print" else PAGE_PX
    count = 1 if narrow else len(ranges_m)
    wide = (width - _BETWEEN_PX * (count - 1)) / count
    distances = [one.distance_m for one in layers]
    rise = max(float(tone_steps(distances, reach).sum()) for reach in ranges_m) * STOP_PX
    tall = _TITLE_PX + rise + _SHAFT_PX + _PLINTH_PX + _FOOT_PX + 8.0
    for number, reach in enumerate(ranges_m):
        left = 0.0 if narrow else number * (wide + _BETWEEN_PX)
        top = number * tall if narrow else 0.0
        _stair(pen, layers, reach, corner=(left, top), size=(wide, tall))
    size = (width, tall * (len(ranges_m) if narrow else 1))
    title = f"Layer stair for {len(layers)} layers"
    return pen.figure(size, title=title, sentence=stair_sentence(layers, ranges_m))


def stair_sentence(layers: Sequence[Layer], ranges_m: Sequence[float]) -> str:
    """Say the steps, which pair merges, and the mist that parts the layers best.

    Parameters
    ----------
    layers : sequence of Layer
        Near to far, two or more.
    ranges_m : sequence of float
        Optical ranges. [m]
    """
    _require(layers, ranges_m)
    distances = [one.distance_m for one in layers]
    said = []
    for reach in ranges_m:
        steps = [float(one) for one in tone_steps(distances, reach)]
        words = ", ".join(f"{one:.2f}" for one in steps)
        said.append(f"At {reach:g} m: steps of {words} stops; {_merging(layers, steps)}.")
    _, best_m, _ = best_range_m(distances)
    wish = wish_words(distances)
    said.append(f"They part best at about {_near(best_m)} m of sight; as a wish, {wish}.")
    return " ".join([*said, "Rough: dark trunks, even light, even mist."])


def _merging(layers: Sequence[Layer], steps: Sequence[float]) -> str:
    pairs = [
        f"{near.name} and {far.name}"
        for near, far, step in zip(layers, layers[1:], steps, strict=False)
        if step < MERGES_UNDER_EV
    ]
    if not pairs:
        return "all part"
    if len(pairs) == len(steps) > 1:
        return "every layer merges with the next"
    return f"{'; '.join(pairs)} merge"


def _near(metres: float) -> int:
    return round(metres / 10.0) * 10 if metres >= 100.0 else round(metres / 5.0) * 5


def _require(layers: Sequence[Layer], ranges_m: Sequence[float]) -> None:
    if len(layers) < 2:
        raise BadInputError("One trunk makes no stair; give the distance of a second one.")
    if not 1 <= len(ranges_m) <= MOST_STAIRS:
        raise BadInputError("A layer stair shows one range to three: now, thinner, thicker.")


def _stair(
    pen: Pen,
    layers: Sequence[Layer],
    range_m: float,
    *,
    corner: tuple[float, float],
    size: tuple[float, float],
) -> None:
    """Draw one stair in its field."""
    (left, top), (wide, tall) = corner, size
    distances = [one.distance_m for one in layers]
    steps = [float(one) for one in tone_steps(distances, range_m)]
    foot = top + tall - _FOOT_PX
    pen.text((left, top + 22.0), f"sight {range_m:g} m", Letters(size=20.0, bold=True))
    plain = _merging(layers, steps)
    lines = wrap(f"{plain[0].upper()}{plain[1:]}. Rough.", room_px=wide, size_px=15.0)
    for number, line in enumerate(lines[:2]):
        pen.text((left, top + 44.0 + 19.0 * number), line, Letters(size=15.0, token="ink2"))
    pen.box((left, top + _TITLE_PX), (wide, foot - top - _TITLE_PX), token="sheet")
    pitch = wide / len(layers)
    stem = min(pitch * 0.42, 34.0)
    ground = foot - _PLINTH_PX
    for number, (layer, tone) in enumerate(zip(layers, tones(distances, range_m), strict=True)):
        x = left + pitch * (number + 0.5)
        if number:
            ground = _riser(pen, left + pitch * number, ground, step=steps[number - 1])
        pen.box((x - stem / 2.0, ground - _SHAFT_PX), (stem, _SHAFT_PX), token="sheet")
        shaft = ((x - stem / 2.0, ground - _SHAFT_PX), (stem, _SHAFT_PX))
        pen.box(*shaft, token="bark", opacity=round(1.0 - float(tone), 2))
        sides = [shaft[0], (x + stem / 2.0, ground - _SHAFT_PX)]
        ring = [*sides, (x + stem / 2.0, ground), (x - stem / 2.0, ground), shaft[0]]
        pen.path(ring, token="edge")
        pen.line((left + pitch * number, ground), (left + pitch * (number + 1), ground), width=1.5)
        _name(pen, layer, x, foot, room=pitch)
    pen.line((left, foot), (left + wide, foot), token="edge")


def _riser(pen: Pen, x: float, ground: float, *, step: float) -> float:
    """Draw a riser with its step on it; copper and heavy where two layers merge."""
    merges = step < MERGES_UNDER_EV
    above = ground - step * STOP_PX
    stroke = "light" if merges else "ink"
    pen.line((x, ground), (x, above), token=stroke, width=3.2 if merges else 1.5)
    token = "light-ink" if merges else "ink"
    look = Letters(size=14.5, bold=merges, anchor="middle", token=token, plate="sheet")
    pen.text((x, ground + 18.0), f"{step:.2f}", look)
    return above


def _name(pen: Pen, layer: Layer, x: float, foot: float, *, room: float) -> None:
    """Write a name, cut to its room, and the distance under it."""
    name = cut_to(layer.name, room_px=room, size_px=14.5)
    pen.text((x, foot + 18.0), name, Letters(size=14.5, anchor="middle"))
    far = Letters(size=14.5, anchor="middle", token="ink2")
    pen.text((x, foot + 37.0), f"{layer.distance_m:g} m", far)
