"""Stand points in words."""

from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from shivelight.cli.say.words import blocks, item, lines, para
from shivelight.drawing.tables import table
from shivelight.outing.stand_words import (
    aim_words,
    answer_words,
    exact_words,
    stand_line,
)
from shivelight.outing.surveys import KeptStand
from shivelight.scene.framing import Framing, Reach
from shivelight.scene.gaps import Gap
from shivelight.scene.stands import Stand
from shivelight.workbench.stand import LayersFound, StandPage
from shivelight.workbench.stand_found import StandFound

T = TypeVar("T")


def found(one: StandFound, width: int) -> str:
    """Say where to stand: the answer, how exact, the gaps, the others."""
    answer = one.answer
    best = answer.best
    others = answer.answers[1:]
    return blocks(
        para(answer_words(answer, one.framing), width),
        _told(best, width) if best is not None else "",
        _gaps(answer.here, best, width) if best is not None else "",
        lines(
            *(
                item(f"or, {number}", [stand_line(stand, one.framing), *stand.reasons,
                     *stand.prices], width)
                for number, stand in enumerate(others, start=2)
            )
        ),
        lines(*(para(side, width, indent=2) for side in answer.sides)),
        para(f"{answer.lens} {answer.views:,} views tried.", width, indent=2),
        para(f"Kept as a stand: {one.taken.words}", width) if one.taken else "",
    )  # fmt: skip


def _told(stand: Stand, width: int) -> str:
    return lines(
        item("set", [aim_words(stand)], width),
        item("how exact", exact_words(stand), width),
        item("why", stand.reasons, width) if stand.reasons else "",
        item("price", stand.prices, width) if stand.prices else "",
    )


def _gaps(here: Stand | None, best: Stand, width: int) -> str:
    """Set the gaps at the mark beside those at the stand."""
    before = {frozenset((gap.left, gap.right)): gap for gap in here.gaps} if here else {}
    rows = [
        (
            f"{gap.left} | {gap.right}",
            _gap(before.get(frozenset((gap.left, gap.right)))),
            _gap(gap),
        )
        for gap in best.gaps
    ]
    return table(rows, ("gap", "now", "there"), width=width) if rows else ""


def _gap(gap: Gap | None) -> str:
    if gap is None:
        return "-"
    return "closed" if gap.gap_deg <= 0.0 else f"{gap.gap_deg:.2f}°"


def page(one: StandPage, width: int) -> str:
    """Show what is wished and what was taken."""
    return blocks(
        lines(
            f"{one.spot}: what is wished of the picture",
            item("to part", _pairs(one.framing.parts) or ["every two neighbours"], width),
            item("to keep", _pairs(one.framing.keeps), width) if one.framing.keeps else "",
            item("whole", [", ".join(one.framing.whole)], width) if one.framing.whole else "",
            item("least gap", [_least(one.framing)], width),
            item("reach", [_reach(one.reach)], width),
        ),
        lines("Stands taken", *(item(_day(kept), [kept.words], width) for kept in one.stands))
        if one.stands
        else "No stand taken yet. Find one with: shivelight stand find SPOT --take 1",
    )


def _pairs(pairs: tuple[tuple[str, str], ...]) -> list[str]:
    return [f"{left} and {right}" for left, right in pairs]


def _least(framing: Framing) -> str:
    return f"{framing.least_gap_deg:g}°, print {framing.print_width_m * 100.0:.0f} cm wide"


def _reach(reach: Reach) -> str:
    said = [
        f"{size:g} m {way}"
        for size, way in (
            (reach.left_m, "left"), (reach.right_m, "right"), (reach.forward_m, "forward"),
            (reach.back_m, "back"),
        )
        if size
    ]  # fmt: skip
    if reach.low_m is not None and reach.high_m is not None:
        said.append(f"lens {reach.low_m:g} to {reach.high_m:g} m up")
    return ", ".join(said) or "none"


def _day(kept: KeptStand) -> str:
    return str(kept.kept_utc)[:10]


def layers(one: LayersFound, width: int) -> str:
    """Say how layers part in mist: the sentence, the steps, the wish."""
    least = min(one.step_ev)
    place = one.step_ev.index(least)
    head = (
        f"At {one.optical_range_m:g} m the smallest step is {least:.2f} stops, "
        f"{one.names[place]} to {one.names[place + 1]}. The layers part best with {one.wish}."
    )
    rows = [
        (
            name,
            f"{away:.0f} m",
            f"{tone:.2f}",
            f"{one.step_ev[row]:.2f} stops" if row < len(one.step_ev) else "",
        )
        for row, (name, away, tone) in enumerate(
            zip(one.names, one.distances_m, one.tone_frac, strict=True)
        )
    ]
    offer = (
        f"Made a must of {one.spot}: {one.wish}."
        if one.wished
        else f"To make it a must: shivelight spot wish '{one.spot}' '{one.wish}'"
    )
    return blocks(
        para(head, width),
        table(rows, ("layer", "distance", "tone, mist is 1", "step to the next"), width=width),
        para(f"{offer}", width, indent=2),
        para("Rough: dark trunks, even light and even mist are assumed.", width, indent=2),
    )


def with_picture(words: Callable[[T, int], str], file: Path | None) -> Callable[[T, int], str]:
    """Say after an answer where its picture was written."""

    def told(one: T, width: int) -> str:
        return words(one, width) + ("" if file is None else f"\n\nwritten: {file}")

    return told


def written(file: Path, _width: int) -> str:
    """Say where a picture was written."""
    return f"written: {file}"
