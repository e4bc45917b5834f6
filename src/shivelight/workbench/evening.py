"""The evening before: judge every spot for the coming mornings, keep what was said, take one."""

import datetime as dt
from dataclasses import replace

from shivelight.basis.errors import MissingDataError, NotFoundError, OutOfRangeError
from shivelight.outing.judgement import Morning
from shivelight.outing.outings import Outing
from shivelight.store import judgements
from shivelight.store import outings as outing_rows
from shivelight.workbench.desk import Progress, silent
from shivelight.workbench.forecast import ForecastDesk


class EveningDesk(ForecastDesk):
    """Go or stay, where first, and what else."""

    def judge(
        self,
        *,
        day: dt.date | None = None,
        mornings: int | None = None,
        progress: Progress = silent,
    ) -> tuple[Morning, ...]:
        """Judge every spot for the coming mornings and keep what was said.

        Parameters
        ----------
        day : date, optional
            The first morning; the coming one when not said.
        mornings : int, optional
            How many, 1 to 7; the settings' number when not said. Mornings that the forecast
            does not reach are left out.
        progress : callable
            Told of the steps.

        Returns
        -------
        tuple of Morning
            One a morning, in order.

        Raises
        ------
        NotFoundError
            If the book holds no spot.
        MissingDataError
            If no forecast reaches the first morning.
        """
        from shivelight.workbench.judging import Judging  # noqa: PLC0415  half a second to load

        first = day or self.next_morning()
        count = self.settings.mornings if mornings is None else mornings
        if not 1 <= count <= 7:
            raise OutOfRangeError("number of mornings", count, 1, 7)
        spots = [spot for spot in self.spots() if spot.state.value != "lost"]
        if not spots:
            raise NotFoundError(
                "The field book holds no spot yet; add one with: shivelight spot add."
            )
        judging = Judging(self, spots, first)
        days = [first + dt.timedelta(days=number) for number in range(count)]
        judged: list[Morning] = []
        for number, one in enumerate(days):
            progress("judging mornings", number, len(days))
            try:
                judged.append(judging.morning(one))
            except MissingDataError:
                if number == 0:
                    raise
                break  # the forecast ends here: later mornings are not judged
        with self.book.writing():
            for morning in judged:
                judgements.add(self.book, morning, signs=judging.evening_signs())
        progress("judging mornings", len(days), len(days))
        return tuple(judged)

    def judged(self, day: dt.date) -> Morning:
        """Read back what was said last for a morning."""
        found = judgements.latest(self.book, day)
        if found is None:
            raise NotFoundError(
                f"Nothing has been judged for {day}; judge it first with: "
                f"shivelight evening judge {day}."
            )
        return found

    def take(self, day: dt.date, *, spot: str | None = None) -> Outing:
        """Take a judged morning as an outing: its first spot, or another.

        Parameters
        ----------
        day : date
            The morning.
        spot : str, optional
            Where to go first; the first of the judgement when not said.
        """
        morning = self.judged(day)
        first = self.spot(spot).name if spot else (morning.first.spot if morning.first else None)
        if first is None:
            raise NotFoundError(f"Nothing was judged for {day} that could be taken.")
        wood = self.spot(first).wood
        planned = [visit.spot for visit in morning.visits] if morning.visits else []
        visits = planned if first in planned else [first]
        try:  # a card may have been written for this morning already: its word is kept
            before = outing_rows.get(self.book, day)
        except NotFoundError:
            outing = Outing(day=day, woods=(wood,), visits=tuple(visits))
            outing_rows.add(self.book, outing)
            return outing
        outing = replace(before, woods=(wood,), visits=tuple(visits))
        outing_rows.replace(self.book, outing)
        return outing

    def outing(self, day: dt.date) -> Outing | None:
        """Look up what was taken for a morning; None when nothing was."""
        try:
            return outing_rows.get(self.book, day)
        except NotFoundError:
            return None

    def stay(self, day: dt.date) -> None:
        """Take a morning's outing back, with the word left for it: stay in bed.

        Raises
        ------
        NotFoundError
            If nothing was taken for that day.
        """
        outing_rows.remove(self.book, day)
