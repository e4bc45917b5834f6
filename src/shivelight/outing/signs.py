"""Signs for, signs against, not known, what would change the answer: the why of a judgement.

Each sign is a sentence made from the numbers that the judgement used, so that the reasons can
never tell another story than the chance. Pure text from values; times on the wood's clock.
"""

from dataclasses import dataclass

import numpy as np

from shivelight.basis.chances import chance_in_words
from shivelight.basis.instants import clock
from shivelight.light.crowned import WORTH_SAYING, crowns_words, seen_span
from shivelight.light.reach import LightWindow
from shivelight.outing.judgement import ForecastNote, MistOutlook, Signs, WishOutlook
from shivelight.outing.record import WoodRecord
from shivelight.outing.wishes import Wish, WishKind

SPEAKS_FOR_FROM = 0.4
"""From this chance on a wish speaks for going; a house rule, printed with its number anyway."""
HILL_FOG_FROM = 0.1
"""From this chance on hill fog is named. A house rule."""
STALE_AFTER_H = 18.0
"""A forecast older than this is named as old; runs come every 6 or 12 hours. [h]"""
FAR_FROM_KM = 15.0
"""A forecast made farther away than this is named: about one cell of a coarse model. [km]"""
HONEST_MORNINGS = 20
"""Fewest fair mornings after which a wood's level is worth believing (docs/mist.md)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIf:
    """One change of the evening and the chance of mist that would follow."""

    words: str
    chance_frac: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Reasons:
    """What the signs of a spot are made from."""

    zone_name: str
    wishes: tuple[Wish, ...]
    outlooks: tuple[WishOutlook, ...]
    light: tuple[LightWindow, ...]
    clears_utc: np.datetime64 | None
    skyline_deg: float | None
    mist: MistOutlook
    record: WoodRecord
    forecast: ForecastNote
    what_if: tuple[WhatIf, ...]
    notes: tuple[str, ...] = ()
    closed: tuple[str, ...] = ()


def signs_of(reasons: Reasons) -> Signs:
    """Put the reasons of one spot into words."""
    said_for: list[str] = []
    against = list(reasons.closed)
    for wish, outlook in zip(reasons.wishes, reasons.outlooks, strict=True):
        words = _wish_words(wish, outlook, reasons)
        (said_for if outlook.chance_frac >= SPEAKS_FOR_FROM else against).append(words)
    speaks, sentence = _light_against_mist(reasons)
    if sentence:
        (said_for if speaks else against).append(sentence)
    crowns = _crowns(reasons)
    if crowns:
        (against if _wants_light(reasons) else said_for).append(crowns)
    for_mist, against_mist = _mist_movers(reasons)
    return Signs(
        for_it=(*said_for, *for_mist),
        against_it=(*against, *against_mist),
        not_known=tuple(_not_known(reasons)),
        would_change=tuple(_would_change(reasons)),
    )


def _wish_words(wish: Wish, outlook: WishOutlook, reasons: Reasons) -> str:
    sort = "" if wish.must else "would like "
    often = _often(outlook.chance_frac)
    if wish.kind is WishKind.SEASON:
        often = "in season" if outlook.chance_frac > 0.0 else "out of season"
    text = f"{sort}{outlook.words}: {often}"
    if wish.kind is WishKind.MIST and reasons.record.like_this.mornings:
        text += f"; your own log has mist on {reasons.record.like_this.words} like this"
    return text


def _often(chance_frac: float) -> str:
    """Write the ends of a chance as words; members that all agree prove nothing."""
    if chance_frac >= 0.995:
        return "in every member"
    if chance_frac <= 0.005:
        return "in no member"
    return chance_in_words(chance_frac)


def _asks(reasons: Reasons, kind: WishKind, word: str = "") -> bool:
    return any(wish.kind is kind and (not word or word in wish.choices) for wish in reasons.wishes)


def _wants_light(reasons: Reasons) -> bool:
    return _asks(reasons, WishKind.LIGHT, "direct") or _asks(reasons, WishKind.FACING)


def _first_window(reasons: Reasons) -> LightWindow | None:
    """First window whose beam can be seen; the first of all when crowns hide every one."""
    seen = (one for one in reasons.light if seen_span(one) is not None)
    return next(seen, next(iter(reasons.light), None))


def _crowns(reasons: Reasons) -> str:
    """Say what crowns do to the light, where light or its lack is wished for."""
    window = _first_window(reasons)
    if window is None or not (_wants_light(reasons) or _asks(reasons, WishKind.LIGHT, "soft")):
        return ""
    return crowns_words(window, reasons.zone_name)


def _sun_comes(reasons: Reasons) -> tuple[np.datetime64 | None, str]:
    """When the sun can be seen from the spot, and past what it comes; None when it cannot."""
    window = _first_window(reasons)
    span = None if window is None else seen_span(window)
    if reasons.clears_utc is None or (window is not None and span is None):
        return None, ""
    over = f" its {reasons.skyline_deg:.0f}° skyline" if reasons.skyline_deg else " the skyline"
    if window is None or span is None or span[0] - window.start_utc <= WORTH_SAYING:
        return reasons.clears_utc, f"the sun passes{over}"
    return span[0], "the sun comes past the crowns"


def _light_against_mist(reasons: Reasons) -> tuple[bool, str]:
    """Whether the sun comes before the mist usually goes, in a sentence."""
    wants_light = _wants_light(reasons)
    comes_utc, how = _sun_comes(reasons)
    if comes_utc is None:
        hidden = bool(reasons.light) and reasons.clears_utc is not None  # by crowns, named apart
        if wants_light and not hidden:
            return False, "no direct light reaches this spot that morning"
        return True, ""
    when = f"{how} at {clock(comes_utc, reasons.zone_name)}"
    if not _asks(reasons, WishKind.MIST) or len(reasons.mist.lifting) < 2:
        return wants_light, when if wants_light else ""
    middle = reasons.mist.lifting[len(reasons.mist.lifting) // 2]
    before = bool(comes_utc < middle)
    gone = clock(middle, reasons.zone_name)
    if wants_light:
        told = "before" if before else "after"
        return before, f"{when}, {told} the middle time by which fog at sunrise lifts ({gone})"
    told = "only after" if not before else "before"
    return not before, f"{when}, {told} the middle time by which fog at sunrise lifts ({gone})"


_MOVER_WORDS = {
    "dew point": ("air and dew point are close", "air and dew point are far apart"),
    "wind": ("the wind is light enough", "the wind would stir it away"),
    "cloud": (
        "the night's cloud, as the mist model weighs it",
        "the night's cloud, as the mist model weighs it",
    ),
    "rain": ("the ground is wet", "rain or its lack works against it"),
}


def _mist_movers(reasons: Reasons) -> tuple[list[str], list[str]]:
    """Name the two terms that moved the chance of mist most, where mist is wished for."""
    if not _asks(reasons, WishKind.MIST):
        return [], []
    said_for: list[str] = []
    against: list[str] = []
    if reasons.mist.hill_fog_frac >= HILL_FOG_FROM:
        said_for.append(
            "the wood may stand inside the cloud (hill fog), "
            f"{chance_in_words(reasons.mist.hill_fog_frac)}"
        )
    for name, log_odds in reasons.mist.moved_by[:2]:
        if abs(log_odds) < 0.2:
            continue
        pair = _MOVER_WORDS.get(name, (f"{name} favours mist", f"{name} disfavours mist"))
        (said_for if log_odds > 0 else against).append(pair[0] if log_odds > 0 else pair[1])
    return said_for, against


def _not_known(reasons: Reasons) -> list[str]:
    said = list(reasons.notes)
    note = reasons.forecast
    if note.age_h is not None and note.age_h > STALE_AFTER_H:
        said.append(f"what a newer forecast says: this one is {note.age_h:.0f} hours old")
    if note.distance_km is not None and note.distance_km > FAR_FROM_KM:
        said.append(
            f"how far it holds here: it was made for a place {note.distance_km:.0f} km off"
        )
    if reasons.mist.cost and _asks(reasons, WishKind.MIST):
        said.append(reasons.mist.cost)
    if _asks(reasons, WishKind.MIST) and reasons.record.fair_mornings < HONEST_MORNINGS:
        said.append(
            "how this wood differs from the open stations behind the mist model "
            f"({reasons.record.fair_mornings} fair mornings logged here)"
        )
    if _asks(reasons, WishKind.LIGHT, "direct"):
        said.append("whether a cloud bank stands low on the horizon at that minute")
    return said


def _would_change(reasons: Reasons) -> list[str]:
    if not _asks(reasons, WishKind.MIST):
        return []
    now = reasons.mist.morning_mist_frac
    moved = sorted(reasons.what_if, key=lambda one: -abs(one.chance_frac - now))
    said = [
        f"{one.words}: mist under 1 km goes from {chance_in_words(now)} to "
        f"{chance_in_words(one.chance_frac)}"
        for one in moved
        if abs(one.chance_frac - now) >= 0.05
        and chance_in_words(one.chance_frac) != chance_in_words(now)
    ]
    return said[:3]
