"""Chances and counts as words: never a bare percentage, never a score."""

import math
from dataclasses import dataclass

from shivelight.basis.errors import BadInputError, require_range

FEWEST_FOR_A_RATE = 5
"""Under this many cases of a kind no rate is given (a house rule, not a statistic)."""


def chance_in_words(chance_frac: float) -> str:
    """Write a chance as tenths: "about 4 in 10".

    Parameters
    ----------
    chance_frac : float
        From 0 to 1.

    Returns
    -------
    str
        Tenths; near the ends twentieths, and beyond them "less than 1 in 20" and "more than 19
        in 20". Anything finer would be too fine a claim.
    """
    require_range("chance", chance_frac, 0.0, 1.0)
    if chance_frac < 0.05:
        return "less than 1 in 20"
    if chance_frac > 0.95:
        return "more than 19 in 20"
    if chance_frac < 0.075:
        return "about 1 in 20"
    if chance_frac > 0.925:
        return "about 19 in 20"
    tenths = min(max(math.floor(chance_frac * 10.0 + 0.5), 1), 9)
    return f"about {tenths} in 10"


@dataclass(frozen=True, slots=True, kw_only=True)
class Count:
    """``found`` of ``mornings``: the only form in which the log's record is shown."""

    found: int
    mornings: int

    def __post_init__(self) -> None:
        if not 0 <= self.found <= self.mornings:
            raise BadInputError(
                f"A count of {self.found} of {self.mornings} cannot be; the first number must be "
                "0 or more and not above the second."
            )

    @property
    def words(self) -> str:
        """Say "4 of 9 mornings", adding that few are few."""
        noun = "morning" if self.mornings == 1 else "mornings"
        text = f"{self.found} of {self.mornings} {noun}"
        if self.mornings == 0:
            return "no mornings yet"
        if self.mornings < FEWEST_FOR_A_RATE:
            return f"{text}, too few to say"
        return text
