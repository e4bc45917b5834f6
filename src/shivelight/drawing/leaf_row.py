"""The leaf row under a season carpet: one mark for some days, by shape, and the stage in words."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import groupby

from shivelight.drawing.fit import width_px
from shivelight.drawing.svg import Letters, Pen

ROW_PX = 48.0
"""Room that the row wants under the dates. [px]"""
WORDS = {
    "bare": "bare", "flush": "flush", "full": "full leaf", "turning": "turning",
    "peak": "turning", "drop": "turning",
}  # fmt: skip
_TALL = 13.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LeafYear:
    """Usual leaf stages of a year.

    Attributes
    ----------
    stages : tuple of str
        Of each day, one of ``LEAF_STAGES``.
    is_sure : tuple of bool
        Whether early and late years have the same stage that day.
    """

    stages: tuple[str, ...]
    is_sure: tuple[bool, ...]


def draw_leaf_row(
    pen: Pen, leaf: LeafYear, *, x: Callable[[int], float], top_px: float, step_d: int
) -> None:
    """Draw the marks and, where there is room, their words.

    Parameters
    ----------
    pen : Pen
        To draw with.
    leaf : LeafYear
        The year.
    x : callable
        Place of a day by its index. [px]
    top_px : float
        Where the row begins. [px]
    step_d : int
        Days between marks.
    """
    foot = top_px + 16.0
    for index in range(step_d // 2, len(leaf.stages), step_d):
        tall = _TALL if leaf.is_sure[index] else _TALL / 2.0
        _mark(pen, leaf.stages[index], (x(index), foot), tall)
    for word, first, last in _groups(leaf.stages):
        middle = (x(first) + x(last)) / 2.0
        if width_px(word, size_px=14.5, face="field-400") < x(last) - x(first) - 2.0:
            look = Letters(size=14.5, token="ink2", anchor="middle")
            pen.text((middle, foot + 20.0), word, look)


def _groups(stages: tuple[str, ...]) -> Iterator[tuple[str, int, int]]:
    start = 0
    for word, held in groupby(WORDS[stage] for stage in stages):
        count = len(list(held))
        yield word, start, start + count - 1
        start += count


def _mark(pen: Pen, stage: str, at: tuple[float, float], tall: float) -> None:
    """Draw a bare twig, a fork in flush, a hanging leaf, or a tilted leaf that has turned."""
    x, foot = at
    if stage == "bare":
        pen.line((x, foot), (x, foot - tall), token="edge", width=1.3)
    elif stage == "flush":
        pen.line((x, foot), (x, foot - tall / 2.0), width=1.5)
        pen.path(
            [(x - 3.0, foot - tall), (x, foot - tall / 2.0), (x + 3.0, foot - tall)], width=1.5
        )
    elif stage == "full":
        pen.area(_blade(x, foot, tall, lean=0.0), token="ink")
    else:
        pen.area(_blade(x, foot, tall, lean=5.0), token="light")


def _blade(x: float, foot: float, tall: float, *, lean: float) -> list[tuple[float, float]]:
    """Outline a leaf from its stalk to its tip."""
    wide = 2.8
    return [
        (x - lean / 2.0, foot),
        (x - wide, foot - tall * 0.45),
        (x + lean / 2.0, foot - tall),
        (x + wide, foot - tall * 0.5),
    ]
