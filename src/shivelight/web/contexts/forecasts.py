"""What is kept of forecasts, how old it is, and where it comes from."""

from collections.abc import Sequence
from dataclasses import dataclass

from shivelight.drawing.morning_words import NEAR_KM
from shivelight.drawing.words import age, counted, day_and_clock
from shivelight.outing.value_words import named
from shivelight.workbench.results import ForecastKept
from shivelight.workbench.week import ForecastState


@dataclass(frozen=True, slots=True, kw_only=True)
class ForecastLine:
    """One forecast, for one wood or for several.

    Attributes
    ----------
    woods : str
        Which.
    words : str
        Source and age, or why there is none.
    facts : str
        When it was made, from when to when, members, distance, what it lacks.
    is_usable : bool
        Whether the coming morning can be judged by it.
    """

    woods: str
    words: str
    facts: str
    is_usable: bool


def forecast_lines(states: Sequence[ForecastState]) -> tuple[ForecastLine, ...]:
    """Write the forecasts out, woods of the same one together."""
    told: dict[tuple[str, str, bool], list[str]] = {}
    for state in states:
        kept = state.used or state.newest
        words = f"{kept.source}, {age(kept.age_h)}" if kept is not None else state.problem
        facts = "" if kept is None else _facts(kept)
        if state.problem and kept is not None:
            facts = f"{facts}. {state.problem}"
        told.setdefault((words, facts, state.used is not None), []).append(state.wood)
    return tuple(
        ForecastLine(woods=", ".join(woods), words=words, facts=facts, is_usable=usable)
        for (words, facts, usable), woods in told.items()
    )


def _facts(kept: ForecastKept) -> str:
    zone_name = kept.zone_name
    parts = [
        f"from {day_and_clock(kept.first_utc, zone_name)} to "
        f"{day_and_clock(kept.last_utc, zone_name)}",
        "one forecast" if kept.members == 1 else counted(kept.members, "member"),
    ]
    if kept.issued_utc is not None:
        parts.insert(0, f"made {day_and_clock(kept.issued_utc, zone_name)}")
    if kept.distance_km is not None and kept.distance_km >= NEAR_KM:
        parts.append(f"for a place {kept.distance_km:.0f} km away")
    if kept.missing:
        parts.append(f"lacks {named(kept.missing)}")
    return ", ".join(parts)
