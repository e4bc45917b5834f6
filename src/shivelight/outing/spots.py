"""A spot: where the tripod stands, what it looks at, and what it waits for."""

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum

from shivelight.basis.errors import BadInputError, require_range
from shivelight.basis.places import Position
from shivelight.outing.wishes import Wish
from shivelight.outing.woods import Privacy, require_name


class SpotState(StrEnum):
    """Where a spot is in its life."""

    WAITING = "waiting"
    MADE = "made"
    LOST = "lost"


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """How the stand point is found again.

    Attributes
    ----------
    transits : tuple of str
        Two things in line, in words, one each.
    last_confirmed : date or None
        When somebody last stood there and they held.
    """

    transits: tuple[str, ...] = ()
    last_confirmed: dt.date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sight:
    """One typed point of a skyline: how high it stands toward one true bearing. [°]."""

    azimuth_deg: float
    altitude_deg: float

    def __post_init__(self) -> None:
        require_range("bearing", self.azimuth_deg, 0.0, 360.0, "°")
        require_range("skyline height", self.altitude_deg, -30.0, 90.0, "°")


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A spot in a wood.

    Attributes
    ----------
    name, wood : str
        Its own name, and the name of its wood.
    position : Position
        Where the tripod stands (a fix under trees is metres out; the mark is what finds it).
    view_azimuth_deg : float
        True bearing of the lens axis. [°]
    lens_height_m : float
        Lens above ground. [m]
    focal_length_mm : float
        As engraved. [mm]
    sensor_width_mm : float
        Long side of the sensor as the frame is held. [mm]
    subject : str
        In words.
    subject_position : Position or None
        Where the subject stands, when its light differs from the stand point's.
    sights : tuple of Sight
        Skyline typed by bearing; empty when not typed.
    wishes : tuple of Wish
        Musts and would-likes.
    mark : Mark
        How to find it again.
    walk_min : float or None
        Minutes from the parking place by day, when timed; None lets it be worked out. [min]
    under_canopy : bool
        Whether crowns stand between the spot and the sun; an edge, ride or glade is open. Where
        crowns were worked out from a raster for the spot, those count instead.
    if_not : str
        What else to do there when the wishes fail, in words.
    hazards : tuple of str
        Words that choose cautions, besides the wood's.
    privacy : Privacy
        Never less quiet than the wood's own class.
    state : SpotState
        Waiting, made or lost.
    note : str
        Anything.
    """

    name: str
    wood: str
    position: Position
    view_azimuth_deg: float
    lens_height_m: float = 1.4
    focal_length_mm: float = 50.0
    sensor_width_mm: float = 36.0
    subject: str = ""
    subject_position: Position | None = None
    sights: tuple[Sight, ...] = ()
    wishes: tuple[Wish, ...] = ()
    mark: Mark = Mark()
    walk_min: float | None = None
    under_canopy: bool = False
    if_not: str = ""
    hazards: tuple[str, ...] = ()
    privacy: Privacy = Privacy.DISTRICT
    state: SpotState = SpotState.WAITING
    note: str = ""

    def __post_init__(self) -> None:
        require_name("spot", self.name)
        require_range("bearing of view", self.view_azimuth_deg, 0.0, 360.0, "°")
        require_range("lens height", self.lens_height_m, 0.05, 10.0, "m")
        require_range("focal length", self.focal_length_mm, 1.0, 2000.0, "mm")
        require_range("sensor width", self.sensor_width_mm, 1.0, 200.0, "mm")
        if self.walk_min is not None:
            require_range("walk", self.walk_min, 0.0, 1440.0, "min")
        seen: dict[float, float] = {}
        for sight in self.sights:
            bearing = sight.azimuth_deg % 360.0
            if seen.setdefault(bearing, sight.altitude_deg) != sight.altitude_deg:
                raise BadInputError(
                    f"The skyline of {self.name} has two heights at {bearing:g}°; keep one."
                )

    @property
    def musts(self) -> tuple[Wish, ...]:
        """Wishes that have to hold at once."""
        return tuple(wish for wish in self.wishes if wish.must)

    @property
    def would_likes(self) -> tuple[Wish, ...]:
        """Wishes that would be welcome."""
        return tuple(wish for wish in self.wishes if not wish.must)
