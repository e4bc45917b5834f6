"""A wood as the field book knows it: where, what stands there, how mist behaves, who to ask."""

import datetime as dt
import unicodedata
from dataclasses import dataclass
from enum import StrEnum

from shivelight.basis.errors import BadInputError, require_range
from shivelight.basis.instants import zone
from shivelight.basis.places import Position


class Privacy(StrEnum):
    """How much of a place may leave the book."""

    OPEN = "open"
    DISTRICT = "district"
    NEVER = "never"


@dataclass(frozen=True, slots=True, kw_only=True)
class AccessFact:
    """One thing noted about getting in, with the day it was noted.

    Attributes
    ----------
    what : str
        In words ("felling proposal noted", "footpath, slippery").
    noted_on : date
        When it was learned; an old fact says "look again".
    from_day, to_day : date or None
        When it holds; None for always.
    closes : bool
        Whether it speaks against going while it holds.
    contact : str
        Whom to ask.
    """

    what: str
    noted_on: dt.date
    from_day: dt.date | None = None
    to_day: dt.date | None = None
    closes: bool = False
    contact: str = ""

    def __post_init__(self) -> None:
        require_name("fact about access", self.what)
        if self.from_day is not None and self.to_day is not None and self.from_day > self.to_day:
            raise BadInputError(
                f"{self.what!r} runs from {self.from_day} to {self.to_day}; "
                "the first day must not come after the last."
            )

    def holds_on(self, day: dt.date) -> bool:
        """Whether the fact applies on a day."""
        after = self.from_day is None or day >= self.from_day
        before = self.to_day is None or day <= self.to_day
        return after and before


@dataclass(frozen=True, slots=True, kw_only=True)
class MistHabit:
    """How mist behaves in one wood, apart from what any forecast says.

    Attributes
    ----------
    hollow_depth_m : float
        How far the wood's floor lies below its surroundings; 0 on a slope or top. [m]
    near_water : bool
        Open water, pools or a carr in or beside it.
    fog_top_m : float or None
        Height above sea level that valley fog usually reaches here; None when not known. [m]
    depth_m : float
        How deep the mist usually lies where the light comes through it. [m]
    note : str
        In words.
    """

    hollow_depth_m: float = 0.0
    near_water: bool = False
    fog_top_m: float | None = None
    depth_m: float = 10.0
    note: str = ""

    def __post_init__(self) -> None:
        require_range("hollow depth", self.hollow_depth_m, 0.0, 1000.0, "m")
        require_range("mist depth", self.depth_m, 0.5, 1000.0, "m")
        if self.fog_top_m is not None:
            require_range("top of valley fog", self.fog_top_m, -500.0, 9000.0, "m")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wood:
    """A wood.

    Attributes
    ----------
    name : str
        What the photographer calls it.
    zone_name : str
        IANA time zone of its clocks.
    parking : Position
        Where the car stands; times are counted from here.
    ground_height_m : float
        Height above sea level of the ground that matters. [m]
    stand : str
        Name of a stand type, see ``shivelight.wood.stands``.
    outline : tuple of (latitude_deg, longitude_deg)
        Corners of its edge, not closed; empty when not drawn. [°]
    habit : MistHabit
        How mist behaves here.
    road_min : float or None
        Minutes by road from home. [min]
    privacy : Privacy
        Open, district or never.
    hazards : tuple of str
        Words that choose cautions: "ash", "water", "bog", "cliff", "deer", "stalking", "felling".
    access : tuple of AccessFact
        What is known of getting in.
    note : str
        Why go.
    """

    name: str
    zone_name: str
    parking: Position
    ground_height_m: float
    stand: str = "mixed"
    outline: tuple[tuple[float, float], ...] = ()
    habit: MistHabit = MistHabit()
    road_min: float | None = None
    privacy: Privacy = Privacy.DISTRICT
    hazards: tuple[str, ...] = ()
    access: tuple[AccessFact, ...] = ()
    note: str = ""

    def __post_init__(self) -> None:
        require_name("wood", self.name)
        zone(self.zone_name)
        require_range("ground height", self.ground_height_m, -500.0, 9000.0, "m")
        if self.road_min is not None:
            require_range("road time", self.road_min, 0.0, 1440.0, "min")
        if 0 < len(self.outline) < 3:
            raise BadInputError(f"The outline of {self.name} needs at least three corners.")
        for latitude_deg, longitude_deg in self.outline:
            Position(latitude_deg=latitude_deg, longitude_deg=longitude_deg)  # refuses bad ones


_NOT_ON_A_LINE = frozenset({"Cc", "Cs", "Zl", "Zp"})
"""Unicode categories of control characters, halves of characters and line ends."""


def require_name(kind: str, name: str) -> None:
    """Refuse an empty name or one with a line break in it."""
    if not name.strip() or any(unicodedata.category(one) in _NOT_ON_A_LINE for one in name):
        raise BadInputError(f"A {kind} needs a name on one line; {name!r} will not do.")
