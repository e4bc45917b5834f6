"""What is known of a spot's past mornings: what was said, what was found, and who went."""

import datetime as dt
import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from shivelight.outing.found import Found, SaidFound, said_against_found
from shivelight.outing.judgement import Stretch
from shivelight.outing.outings import Outing


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotSaid:
    """What was said last of one spot for one morning.

    Attributes
    ----------
    day : date
        The morning.
    made_utc : datetime64
        When it was said.
    rank : int
        Place of the spot among all judged together, 0 the best.
    chance_frac, morning_mist_frac : float
        Chance that all musts hold together, and of mist; NaN where not known.
    best : Stretch or None
        When all musts hold together most often; None where they never do.
    times_said : int
        How often that morning was judged for it.
    """

    day: dt.date
    made_utc: np.datetime64
    rank: int
    chance_frac: float
    morning_mist_frac: float
    best: Stretch | None
    times_said: int = 1

    @property
    def was_first(self) -> bool:
        """Whether no other spot suited better."""
        return self.rank == 0


@dataclass(frozen=True, slots=True, kw_only=True)
class PastMorning:
    """One morning of a spot's past.

    Attributes
    ----------
    day : date
        The morning.
    said : SpotSaid or None
        None where nothing was said of it.
    found : Found or None
        The log; None where none was made.
    found_at : {"", "spot", "wood"}
        Whether the log is of the spot or, for want of one, of its wood.
    outing : Outing or None
        The outing that visited it.
    """

    day: dt.date
    said: SpotSaid | None = None
    found: Found | None = None
    found_at: str = ""
    outing: Outing | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotHistory:
    """Every morning that anything is known of, the newest first, with counts.

    Attributes
    ----------
    spot, wood, zone_name : str
        Where, and on which clock.
    mornings : tuple of PastMorning
        The newest first.
    said, first, logged, misty, visited : int
        Mornings on which something was said of it, on which it came first, that were logged,
        of those with mist, and on which an outing visited it.
    counts : SaidFound
        Mist said against mist found; by the log of the spot or, for want of one, of its wood.
    """

    spot: str
    wood: str
    zone_name: str
    mornings: tuple[PastMorning, ...]
    said: int
    first: int
    logged: int
    misty: int
    visited: int
    counts: SaidFound


def past_mornings(
    spot: str, *, said: Iterable[SpotSaid], logs: Iterable[Found], outings: Iterable[Outing]
) -> tuple[PastMorning, ...]:
    """Put together by morning what was said of a spot, found and visited, the newest first.

    Parameters
    ----------
    spot : str
        Its name as in the logs.
    said : iterable of SpotSaid
        One a morning.
    logs : iterable of Found
        Those of its wood; those of other spots in it are passed over.
    outings : iterable of Outing
        Those that visit it.
    """
    by_day = {one.day: one for one in said}
    went = {one.day: one for one in outings}
    of_spot: dict[dt.date, Found] = {}
    of_wood: dict[dt.date, Found] = {}
    for log in logs:
        if log.spot in {spot, ""}:
            (of_spot if log.spot else of_wood)[log.day] = log
    days = sorted({*by_day, *went, *of_spot, *of_wood}, reverse=True)
    return tuple(
        PastMorning(
            day=day,
            said=by_day.get(day),
            found=of_spot.get(day) or of_wood.get(day),
            found_at="spot" if day in of_spot else "wood" if day in of_wood else "",
            outing=went.get(day),
        )
        for day in days
    )


def history_of(
    spot: str, *, wood: str, zone_name: str, mornings: tuple[PastMorning, ...]
) -> SpotHistory:
    """Count a spot's past mornings."""
    said = [one.said for one in mornings if one.said is not None]
    logs = [one.found for one in mornings if one.found is not None]
    pairs = [
        (one.said.morning_mist_frac, one.found)
        for one in mornings
        if one.said is not None
        and one.found is not None
        and not math.isnan(one.said.morning_mist_frac)
    ]
    return SpotHistory(
        spot=spot,
        wood=wood,
        zone_name=zone_name,
        mornings=mornings,
        said=len(said),
        first=sum(one.was_first for one in said),
        logged=len(logs),
        misty=sum(log.was_misty for log in logs),
        visited=sum(one.outing is not None for one in mornings),
        counts=said_against_found(pairs),
    )
