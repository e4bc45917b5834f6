"""What was said, paired with what was found: the raw stuff of counts and of learning."""

import datetime as dt
import math

from shivelight.outing.found import Found
from shivelight.outing.kept import Given
from shivelight.store import found as found_rows
from shivelight.store import judgements
from shivelight.store.book import FieldBook


def fair_pairs(
    book: FieldBook, wood: str, *, of: str, before: dt.date | None = None
) -> list[tuple[float, Found]]:
    """Pair each log of a wood with the chance of mist said last before it.

    Parameters
    ----------
    book : FieldBook
        Where.
    wood : str
        Which wood.
    of : {"morning", "forecast"}
        The chance as said, or as it was before the wood's own record was used.
    before : date, optional
        Only mornings before this day.

    Returns
    -------
    list of (chance_frac, Found)
        Mornings that were logged without anything having been said are left out.
    """
    said: dict[dt.date, Given] = {}
    for given in judgements.given(book, wood):
        if not math.isnan(_chance(given, of)):
            said[given.day] = given  # in order of making: the last one stands
    return [
        (_chance(said[log.day], of), log)
        for log in found_rows.of_wood(book, wood)
        if log.day in said and (before is None or log.day < before)
    ]


def _chance(given: Given, of: str) -> float:
    return given.forecast_frac if of == "forecast" else given.morning_mist_frac
