"""Pieces of a judged morning in words, the same on a page as in a terminal."""

import numpy as np

from shivelight.drawing.words import age, clock_or
from shivelight.outing.judgement import ForecastNote, OtherPlan, SpotOutlook
from shivelight.outing.value_words import named

NEAR_KM = 1.0
"""A forecast made nearer than this is made for here; positions are sent out no finer."""


def in_the_dark(spot: SpotOutlook, dawn: np.datetime64 | None) -> str:
    """Say that the walk begins before civil dawn, where it does."""
    dark = spot.park_utc is not None and (dawn is None or bool(spot.park_utc < dawn))
    return " in the dark" if dark else ""


def times_words(spot: SpotOutlook, zone_name: str, dawn: np.datetime64 | None) -> str:
    """Write the times from the alarm to the end of the window."""
    if spot.best is None:
        return "none: there is no window to be in place for"
    parts = [
        backward_words(spot, zone_name),
        f"walk {spot.walk_min:.0f} min{in_the_dark(spot, dawn)}",
    ]
    if spot.best_low is not None and spot.best_high is not None:
        low, high = clock_or(spot.best_low, zone_name), clock_or(spot.best_high, zone_name)
        parts.append(f"the window ends between {low} and {high}")
    return ", ".join(part for part in parts if part)


def backward_words(spot: SpotOutlook, zone_name: str) -> str:
    """Clock times from the alarm to the stand point, as far as they are known."""
    parts = (
        ("alarm", spot.alarm_utc),
        ("set out", spot.set_out_utc),
        ("park", spot.park_utc),
        ("in place", spot.in_place_utc),
    )
    return ", ".join(
        f"{name} {clock_or(utc, zone_name)}" for name, utc in parts if utc is not None
    )


def plan_words(plan: OtherPlan | None) -> str:
    """Write what else to do; nothing for no plan."""
    if plan is None:
        return ""
    place = f"{plan.spot}, {plan.wood}" if plan.spot else plan.wood
    walk = ""
    if plan.walk_min is not None and "on foot" not in plan.words:
        walk = f" ({plan.walk_min:.0f} min on foot)"
    if not place or plan.words.startswith(plan.spot or plan.wood):
        return f"{plan.words}{walk}"
    return f"{place}{walk}: {plan.words}"


def source_words(note: ForecastNote) -> str:
    """Write where a forecast came from, how old it is and what it lacks."""
    parts = [note.source]
    if note.age_h is not None:
        parts.append(age(note.age_h))
    parts.append("one forecast" if note.members == 1 else f"{note.members} members")
    if note.distance_km is not None and note.distance_km >= NEAR_KM:
        parts.append(f"made for a place {note.distance_km:.0f} km away")
    if note.missing:
        parts.append(f"lacks {named(note.missing)}")
    return ", ".join(parts)


def record_lines(spot: SpotOutlook) -> list[str]:
    """Count mist on such evenings in the wood's own record, unless a sign has said it."""
    told = any("your own log" in sign for sign in (*spot.signs.for_it, *spot.signs.against_it))
    if told or spot.record is None or spot.record.mornings == 0:
        return []
    return [f"on evenings like this your own log has mist on {spot.record.words}"]
