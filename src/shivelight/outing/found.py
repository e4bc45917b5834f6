"""What was really there: five taps, and the counts of said against found."""

import datetime as dt
from dataclasses import dataclass

import numpy as np

from shivelight.basis.chances import FEWEST_FOR_A_RATE, Count
from shivelight.basis.errors import BadInputError, require_range
from shivelight.outing.wishes import LEAF_STAGES
from shivelight.outing.woods import require_name

MIST_WORDS = ("none", "wisps", "thin", "good", "thick")
AIR_WORDS = ("still", "stirring", "moving")
LIGHT_WORDS = ("none", "shaft", "back", "side", "front", "flat")
COUNTS_AS_MIST = frozenset({"thin", "good", "thick"})
"""Wisps do not make a mist picture; a house rule, the same for saying and finding."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """One morning's log in one wood.

    Attributes
    ----------
    day : date
        The civil day there.
    wood : str
        Which wood.
    spot : str
        Which spot; empty when only the wood was looked at.
    mist : str
        One of :data:`MIST_WORDS`.
    optical_range_m : float or None
        Paced to the last trunk that could be made out. [m]
    lifted_utc : datetime64 or None
        When it went; None when it did not or was not seen.
    air, light, leaf : str
        One of the words, or empty when not noted.
    why_looked : {"planned", "daily", "mist seen"}
        A look made because mist was seen teaches nothing about how often mist comes.
    note : str
        Anything.
    """

    day: dt.date
    wood: str
    mist: str
    spot: str = ""
    optical_range_m: float | None = None
    lifted_utc: np.datetime64 | None = None
    air: str = ""
    light: str = ""
    leaf: str = ""
    why_looked: str = "planned"
    note: str = ""

    def __post_init__(self) -> None:
        require_name("wood", self.wood)
        _require_word("mist", self.mist, MIST_WORDS)
        for name, word, known in (
            ("air", self.air, AIR_WORDS),
            ("light", self.light, LIGHT_WORDS),
            ("leaf", self.leaf, LEAF_STAGES),
        ):
            if word:
                _require_word(name, word, known)
        _require_word("reason for looking", self.why_looked, ("planned", "daily", "mist seen"))
        if self.optical_range_m is not None:
            require_range("optical range", self.optical_range_m, 0.0, 300_000.0, "m")
        if self.lifted_utc is not None and np.isnat(self.lifted_utc):
            raise BadInputError("The time at which the mist lifted is no time; leave it out.")

    @property
    def was_misty(self) -> bool:
        """Whether it counts as mist."""
        return self.mist in COUNTS_AS_MIST


@dataclass(frozen=True, slots=True, kw_only=True)
class SaidFound:
    """Counts of mist said against mist found in one wood.

    ``said`` counts mornings when mist was said (chance of a half or more) and found;
    ``unsaid`` mornings when it was not said and was found all the same.
    """

    said: Count
    unsaid: Count

    @property
    def words(self) -> str:
        """Say "said mist 7, found 3; not said 5, found 1"."""
        text = (
            f"said mist {self.said.mornings}, found {self.said.found}; "
            f"not said {self.unsaid.mornings}, found {self.unsaid.found}"
        )
        if self.said.mornings + self.unsaid.mornings < FEWEST_FOR_A_RATE:
            return f"{text}; too few to say more"
        return text


def said_against_found(
    pairs: list[tuple[float, Found]], *, said_from_frac: float = 0.5
) -> SaidFound:
    """Count mornings by what was said and what was found.

    Parameters
    ----------
    pairs : list of (chance_frac, Found)
        The chance of mist as it was given the evening before, and the log. Logs made because
        mist was seen are left out.
    said_from_frac : float
        From which chance on mist counts as said.
    """
    fair = [(chance, log) for chance, log in pairs if log.why_looked != "mist seen"]
    said = [log.was_misty for chance, log in fair if chance >= said_from_frac]
    unsaid = [log.was_misty for chance, log in fair if chance < said_from_frac]
    return SaidFound(
        said=Count(found=sum(said), mornings=len(said)),
        unsaid=Count(found=sum(unsaid), mornings=len(unsaid)),
    )


def _require_word(name: str, word: str, known: tuple[str, ...]) -> None:
    if word not in known:
        raise BadInputError(f"{name} {word!r} is not one of: {', '.join(known)}.")
