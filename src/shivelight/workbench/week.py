"""The coming mornings at a glance: what was last said of each, and whether it still stands.

Reading only, and quick: one question for the judgements of all mornings, one for the list of
forecasts. A forecast's bytes are read once as long as the coming morning stays the same.
"""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from shivelight.basis.errors import (
    BadInputError,
    MissingDataError,
    UnreadableFileError,
    require_range,
)
from shivelight.basis.instants import seconds_between
from shivelight.outing.judgement import Morning
from shivelight.outing.spots import SpotState
from shivelight.outing.woods import Wood
from shivelight.store import forecast_list, judgements
from shivelight.store import forecasts as forecast_rows
from shivelight.store import spots as spot_rows
from shivelight.store import woods as wood_rows
from shivelight.store.forecast_list import Listed
from shivelight.workbench.forecast import OTHER_PLACE_KM, ForecastDesk
from shivelight.workbench.results import ForecastKept
from shivelight.workbench.stale import why_stale

LONGEST_REACH = np.timedelta64(17, "D")
"""Forecasts older than this reach no coming morning; services give 16 days at most."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ForecastState:
    """What the forecast of one wood is, for the margin.

    Attributes
    ----------
    wood, zone_name : str
        Which wood, and its clock.
    newest : ForecastKept or None
        The one that came last; None when none is kept, or it cannot be read.
    used : ForecastKept or None
        The one that a judgement would go by now: the newest that reaches the coming sunrise.
    problem : str
        Why there is none to go by, in a sentence; empty when there is.
    """

    wood: str
    zone_name: str
    newest: ForecastKept | None
    used: ForecastKept | None
    problem: str = ""

    @property
    def reaches_next_sunrise(self) -> bool:
        """Whether the coming morning can be judged by it."""
        return self.used is not None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WeekMorning:
    """One coming morning.

    Attributes
    ----------
    day : date
        The civil day.
    morning : Morning or None
        What was last said of it; None when nothing was.
    stale : str
        Why it should be judged again, in a sentence; empty when it still stands.
    """

    day: dt.date
    morning: Morning | None
    stale: str = ""

    @property
    def is_stale(self) -> bool:
        """Whether something came or changed since it was judged."""
        return bool(self.stale)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Week:
    """The coming mornings and the forecasts that they rest on.

    Attributes
    ----------
    zone_name : str
        Clock of the first wood.
    made_utc : datetime64
        The present.
    mornings : tuple of WeekMorning
        The coming one first.
    forecasts : tuple of ForecastState
        By wood.
    """

    zone_name: str
    made_utc: np.datetime64
    mornings: tuple[WeekMorning, ...]
    forecasts: tuple[ForecastState, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Read:
    """A forecast that was read once: what it is, and whether it reaches the coming sunrise."""

    kept: ForecastKept
    reaches: bool


MOST_READ = 500
"""So many descriptions of forecasts are remembered, told apart by what they hold."""
_read_before: dict[tuple[object, ...], _Read] = {}


class WeekDesk(ForecastDesk):
    """The week ahead."""

    def week(self, days: int = 7) -> Week:
        """Give the coming mornings with what was last said of each.

        Parameters
        ----------
        days : int
            How many, 1 to 7.

        Returns
        -------
        Week
            Mornings that were not judged are there too, with None.

        Raises
        ------
        OutOfRangeError
            If ``days`` is out of range.
        UnreadableFileError
            If a judgement in the book is damaged.
        """
        require_range("number of mornings", days, 1, 7)
        first = self.next_morning()
        with self.book.reading_as_one():
            coming = [first + dt.timedelta(days=number) for number in range(days)]
            said = judgements.latest_of(self.book, coming)
            spots = [one for one in spot_rows.every(self.book) if one.state is not SpotState.LOST]
            states = self.forecast_state()
            zone_name = self.zone_of()
        used = {one.wood: one.used for one in states if one.used is not None}
        return Week(
            zone_name=zone_name,
            made_utc=self.now_utc,
            mornings=tuple(
                WeekMorning(
                    day=day,
                    morning=said.get(day),
                    stale=why_stale(said[day], spots, used) if day in said else "",
                )
                for day in coming
            ),
            forecasts=states,
        )

    def forecast_state(self) -> tuple[ForecastState, ...]:
        """Say of each wood which forecast came last, how old it is, and how far it reaches."""
        woods = wood_rows.every(self.book)
        listed = forecast_list.newest_first(
            self.book, since_utc=self.now_utc - LONGEST_REACH, until_utc=self.now_utc
        )
        coming = self.next_morning()
        return tuple(
            self._state(wood, [one for one in listed if one.wood == wood.name], coming)
            for wood in woods
        )

    def _state(self, wood: Wood, listed: Sequence[Listed], coming: dt.date) -> ForecastState:
        """Find the newest forecast of a wood, and the newest that reaches the coming sunrise."""
        newest: ForecastKept | None = None
        used: ForecastKept | None = None
        problem = (
            f"No forecast is kept for {wood.name}; fetch one, read a file or type the evening."
        )
        for number, one in enumerate(listed):
            try:
                read = self._read_once(one, wood, coming)
            except (UnreadableFileError, MissingDataError, BadInputError) as why:
                problem = problem if number else str(why)
                continue
            if number == 0:
                newest, problem = read.kept, f"The forecast for {wood.name}: {read.kept.note}."
            if read.reaches:
                used = read.kept
                break
        if used is not None and (used.distance_km or 0.0) > OTHER_PLACE_KM:
            problem = (
                f"The forecast from {used.source} was made for a place {used.distance_km:.0f} km "
                f"from {wood.name}; fetch or type one for here."
            )
            used = None
        return ForecastState(
            wood=wood.name,
            zone_name=wood.zone_name,
            newest=newest,
            used=used,
            problem="" if used is not None else problem,
        )

    def _read_once(self, one: Listed, wood: Wood, coming: dt.date) -> _Read:
        """Read a forecast, unless it was read before for the same wood and morning."""
        before = _read_before
        key = (str(self.book.path), one.number, one.sha256, wood, coming)
        if key not in before:
            stored = forecast_rows.get(self.book, one.number)
            if stored is None:  # it was there when the list was made
                raise MissingDataError(f"Forecast {one.number} is no longer in the field book.")
            ensemble = self._read(stored, wood)
            if len(before) >= MOST_READ:
                before.clear()
            before[key] = _Read(
                kept=self._described(stored, ensemble, wood),
                reaches=self._reaches_morning(ensemble, wood),
            )
        read = before[key]
        issued_utc = read.kept.issued_utc
        age_s = 0.0 if issued_utc is None else seconds_between(self.now_utc, issued_utc)
        return replace(read, kept=replace(read.kept, age_h=max(age_s / 3600.0, 0.0)))
