"""On arrival: what was found there re-ranks the spots, in walking order.

Three taps (mist, air, light) and, where it tells, the ground. Pure functions of values: every
time is passed in, so the whole table can be printed the evening before.
"""

from dataclasses import dataclass

import numpy as np

from shivelight.basis.errors import BadInputError

MIST_TAPS = ("none", "wisps", "thin", "good", "thick")
AIR_TAPS = ("still", "stirring", "moving")
LIGHT_TAPS = ("clear", "broken", "overcast")
GROUND_TAPS = ("dry", "wet", "frost", "hoar")


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """What is found on arrival.

    Attributes
    ----------
    mist : str
        One of :data:`MIST_TAPS`.
    air : str
        At leaf height: one of :data:`AIR_TAPS`.
    light : str
        The sky: one of :data:`LIGHT_TAPS`.
    ground : str
        One of :data:`GROUND_TAPS`, or empty when not looked at.
    """

    mist: str
    air: str
    light: str
    ground: str = ""

    def __post_init__(self) -> None:
        for name, word, known in (
            ("mist", self.mist, MIST_TAPS),
            ("air", self.air, AIR_TAPS),
            ("light", self.light, LIGHT_TAPS),
            ("ground", self.ground, ("", *GROUND_TAPS)),
        ):
            if word not in known:
                choices = ", ".join(one for one in known if one)
                raise BadInputError(f"{name} {word!r} is not one of: {choices}.")


@dataclass(frozen=True, slots=True, kw_only=True)
class ArrivalChoice:
    """One spot to go to as things were found.

    Attributes
    ----------
    spot, wood : str
        Names.
    walk_min : float
        From here. [min]
    from_utc, until_utc : datetime64 or None
        When its musts hold together, or begin to; None where they will not, or no end is known.
    why : str
        One short sentence.
    """

    spot: str
    wood: str
    walk_min: float
    from_utc: np.datetime64 | None
    until_utc: np.datetime64 | None
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ArrivalRow:
    """The best spots for one set of taps."""

    mist: str
    air: str
    light: str
    choices: tuple[ArrivalChoice, ...]
