"""What was surveyed in a wood: trunks, branches and logs, sky holes, the ground, closed ground.

One local frame of metres for a spot: the origin on the ground under the lens at the mark, ``x``
to the right of the lens axis, ``y`` forward along it (level), ``z`` up. The axis is the spot's
bearing of view, so that the frame can be laid on a map; nothing here knows where on Earth it is.
"""

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

from shivelight.basis.errors import BadInputError, require_range

Point: TypeAlias = tuple[float, float, float]
"""A point of the local frame: x, y, z. [m]"""

FARTHEST_M = 2_000.0
"""No trunk farther than this is told from another by stepping aside. [m]"""


CHEST_M = 1.3
"""Height at which a trunk's width is measured (common practice). [m]"""

EYE_M = 1.4
"""Height above the mark from which a sky hole's direction counts (a judgement). [m]"""


class Role(StrEnum):
    """What an element is in the picture."""

    SUBJECT = "subject"
    COMPANION = "companion"
    FRAME = "frame"
    LEAD = "lead"
    INTRUDER = "intruder"


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """How wrong one element's measurements may be, as standard errors.

    Attributes
    ----------
    distance_m : float
        Along the line of sight. [m]
    angle_deg : float
        Across it. [°]
    width_m : float
        Of a trunk or branch. [m]
    """

    distance_m: float = 0.0
    angle_deg: float = 0.0
    width_m: float = 0.0

    def __post_init__(self) -> None:
        require_range("doubt of the distance", self.distance_m, 0.0, FARTHEST_M, "m")
        require_range("doubt of the angle", self.angle_deg, 0.0, 45.0, "°")
        require_range("doubt of the width", self.width_m, 0.0, 20.0, "m")


@dataclass(frozen=True, slots=True, kw_only=True)
class Trunk:
    """An upright trunk, a leaning cylinder on the ground.

    Attributes
    ----------
    name : str
        What the photographer calls it.
    x_m, y_m : float
        Where its axis meets the ground. [m]
    width_m : float
        Its diameter at the height of a chest. [m]
    height_m : float
        How far its top stands above its foot, upright, or where it leaves the picture. [m]
    lean_right_deg, lean_away_deg : float
        How far its axis leans from the upright as judged from the mark: to the right of the
        line of sight, and away along it. [°]
    role : Role
        What it is in the picture.
    doubt : Doubt
        Standard errors of distance, angle and width.
    """

    name: str
    x_m: float
    y_m: float
    width_m: float
    height_m: float = 25.0
    lean_right_deg: float = 0.0
    lean_away_deg: float = 0.0
    role: Role = Role.COMPANION
    doubt: Doubt = Doubt()

    def __post_init__(self) -> None:
        _require_name(self.name)
        _require_place(self.name, self.x_m, self.y_m)
        require_range(f"width of {self.name}", self.width_m, 0.005, 20.0, "m")
        require_range(f"height of {self.name}", self.height_m, 0.05, 150.0, "m")
        require_range(f"lean of {self.name}", self.lean_right_deg, -80.0, 80.0, "°")
        require_range(f"lean of {self.name}", self.lean_away_deg, -80.0, 80.0, "°")
        if math.hypot(self.x_m, self.y_m) <= self.width_m / 2.0:
            raise BadInputError(
                f"{self.name} stands where the lens is; give its distance from the lens."
            )

    @property
    def distance_m(self) -> float:
        """From the mark to its axis, along the level. [m]."""
        return math.hypot(self.x_m, self.y_m)

    @property
    def angle_deg(self) -> float:
        """From the lens axis at the mark, to the right. [°]."""
        return math.degrees(math.atan2(self.x_m, self.y_m))

    @property
    def is_plumb(self) -> bool:
        """Whether it does not lean."""
        return self.lean_right_deg == 0.0 and self.lean_away_deg == 0.0

    def ends_m(self, slope: "Slope") -> tuple[Point, Point]:
        """Where its axis begins and ends: foot and top, in the local frame. [m].

        Parameters
        ----------
        slope : Slope
            The ground it stands on.
        """
        right = self.height_m * math.tan(math.radians(self.lean_right_deg))
        away = self.height_m * math.tan(math.radians(self.lean_away_deg))
        sight_x, sight_y = self.x_m / self.distance_m, self.y_m / self.distance_m
        foot_z = slope.height_m(self.x_m, self.y_m)
        top = (
            self.x_m + right * sight_y + away * sight_x,
            self.y_m - right * sight_x + away * sight_y,
            foot_z + self.height_m,
        )
        return (self.x_m, self.y_m, foot_z), top


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """A branch, a log, a fence rail: a straight piece in space.

    Attributes
    ----------
    name : str
        What the photographer calls it.
    start_m, end_m : (x, y, z)
        Its ends. [m]
    width_m : float
        Its thickness. [m]
    role : Role
        What it is in the picture.
    doubt : Doubt
        Standard errors of distance, angle and width.
    """

    name: str
    start_m: Point
    end_m: Point
    width_m: float
    role: Role = Role.INTRUDER
    doubt: Doubt = Doubt()

    def __post_init__(self) -> None:
        _require_name(self.name)
        for x_m, y_m, z_m in (self.start_m, self.end_m):
            _require_place(self.name, x_m, y_m)
            require_range(f"height of {self.name}", z_m, -100.0, 150.0, "m")
        require_range(f"width of {self.name}", self.width_m, 0.001, 20.0, "m")
        if self.start_m == self.end_m:
            raise BadInputError(f"{self.name} begins where it ends; give its two ends.")


@dataclass(frozen=True, slots=True, kw_only=True)
class SkyHole:
    """A bright hole in the leaves, so far behind that stepping aside does not move it.

    Attributes
    ----------
    name : str
        What the photographer calls it.
    angle_deg : float
        From the lens axis at the mark, to the right. [°]
    altitude_deg : float
        Above the level. [°]
    width_deg, height_deg : float
        How large it is. [°]
    distance_m : float
        How far behind; a hole near by moves against the trunks. [m]
    """

    name: str
    angle_deg: float
    altitude_deg: float
    width_deg: float
    height_deg: float
    distance_m: float = FARTHEST_M

    def __post_init__(self) -> None:
        _require_name(self.name)
        require_range(f"angle of {self.name}", self.angle_deg, -180.0, 180.0, "°")
        require_range(f"altitude of {self.name}", self.altitude_deg, -90.0, 90.0, "°")
        require_range(f"width of {self.name}", self.width_deg, 0.01, 120.0, "°")
        require_range(f"height of {self.name}", self.height_deg, 0.01, 120.0, "°")
        require_range(f"distance of {self.name}", self.distance_m, 0.5, FARTHEST_M, "m")


@dataclass(frozen=True, slots=True, kw_only=True)
class Slope:
    """The ground as a plane through the origin.

    Attributes
    ----------
    rise_right_frac, rise_forward_frac : float
        Metres of rise for each metre to the right and forward.
    """

    rise_right_frac: float = 0.0
    rise_forward_frac: float = 0.0

    def __post_init__(self) -> None:
        require_range("rise of the ground to the right", self.rise_right_frac, -3.0, 3.0, "m/m")
        require_range("rise of the ground forward", self.rise_forward_frac, -3.0, 3.0, "m/m")

    def height_m(self, x_m: float, y_m: float) -> float:
        """Height of the ground above the origin. [m]."""
        return self.rise_right_frac * x_m + self.rise_forward_frac * y_m


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosedGround:
    """Ground that nobody steps on: a bed of flowers, a bank, the ring round an old tree.

    Attributes
    ----------
    name : str
        What it is.
    corners_m : tuple of (x, y)
        Its edge, three corners or more; empty for a ring. [m]
    centre_m, radius_m : (x, y), float
        Of a ring; a radius of 0 for none. [m]
    """

    name: str
    corners_m: tuple[tuple[float, float], ...] = ()
    centre_m: tuple[float, float] = (0.0, 0.0)
    radius_m: float = 0.0

    def __post_init__(self) -> None:
        _require_name(self.name)
        require_range(f"ring of {self.name}", self.radius_m, 0.0, 200.0, "m")
        if (len(self.corners_m) >= 3) == (self.radius_m > 0.0):
            raise BadInputError(
                f"{self.name} is closed either inside three corners or more, or inside a ring; "
                "give one of them."
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Survey:
    """All that was surveyed at a spot.

    Attributes
    ----------
    trunks, segments, holes, closed : tuple
        The elements; names are told apart across all of them.
    slope : Slope
        The ground.
    scale_doubt_frac : float
        Standard error that all distances share, as where one's pace or the step between two
        pictures was longer or shorter than thought.
    """

    trunks: tuple[Trunk, ...] = ()
    segments: tuple[Segment, ...] = ()
    holes: tuple[SkyHole, ...] = ()
    closed: tuple[ClosedGround, ...] = ()
    slope: Slope = Slope()
    scale_doubt_frac: float = 0.0

    def __post_init__(self) -> None:
        require_range("doubt of the scale", self.scale_doubt_frac, 0.0, 0.5)
        seen: set[str] = set()
        for name in self.names:
            if name.casefold() in seen:
                raise BadInputError(f"Two elements are named {name}; give each its own name.")
            seen.add(name.casefold())
        self._require_apart()

    @property
    def names(self) -> tuple[str, ...]:
        """Names of all elements."""
        return (
            *(one.name for one in self.trunks),
            *(one.name for one in self.segments),
            *(one.name for one in self.holes),
            *(one.name for one in self.closed),
        )

    @property
    def subject(self) -> Trunk | Segment | None:
        """The first element whose role is the subject; None when none is."""
        every: tuple[Trunk | Segment, ...] = (*self.trunks, *self.segments)
        return next((one for one in every if one.role is Role.SUBJECT), None)

    def _require_apart(self) -> None:
        """Refuse trunks that stand in each other at the ground or at the height of a chest."""
        for number, one in enumerate(self.trunks):
            for other in self.trunks[number + 1 :]:
                away_m = math.hypot(one.x_m - other.x_m, one.y_m - other.y_m)
                least_m = (one.width_m + other.width_m) / 2.0 - 1e-9
                where = "stand in each other"
                if away_m >= least_m and not (one.is_plumb and other.is_plumb):
                    (x, y, _), (x2, y2, _) = (_chest_m(each) for each in (one, other))
                    away_m = math.hypot(x - x2, y - y2)
                    where = "lean through each other at the height of a chest"
                if away_m < least_m:
                    raise BadInputError(
                        f"{one.name} and {other.name} {where}: {away_m:.2f} m apart, "
                        f"{one.width_m:g} m and {other.width_m:g} m wide. Measure one again."
                    )


def trunk_at(
    name: str, angle_deg: float, *, distance_m: float, width_m: float, **more: object
) -> Trunk:
    """Make a trunk from its angle off the lens axis and its distance, as read in the field.

    Parameters
    ----------
    name : str
        What it is called.
    angle_deg : float
        From the lens axis to the middle of the trunk, to the right. [°]
    distance_m : float
        From the lens to its axis, along the level. [m]
    width_m : float
        Diameter. [m]
    **more
        Other fields of :class:`Trunk`.
    """
    require_range(f"distance of {name}", distance_m, 0.05, FARTHEST_M, "m")
    turn = math.radians(angle_deg)
    return Trunk(
        name=name,
        x_m=distance_m * math.sin(turn),
        y_m=distance_m * math.cos(turn),
        width_m=width_m,
        **more,  # type: ignore[arg-type]
    )


def _chest_m(trunk: Trunk) -> Point:
    """Where the axis of a trunk is at the height of a chest, or at its top if that is lower."""
    (x, y, z), (x2, y2, z2) = trunk.ends_m(Slope())
    share = min(1.0, CHEST_M / trunk.height_m)
    return x + share * (x2 - x), y + share * (y2 - y), z + share * (z2 - z)


def _require_name(name: str) -> None:
    if not name.strip() or "\n" in name:
        raise BadInputError("Each element needs a name on one line.")


def _require_place(name: str, x_m: float, y_m: float) -> None:
    require_range(f"place of {name}", x_m, -FARTHEST_M, FARTHEST_M, "m")
    require_range(f"place of {name}", y_m, -FARTHEST_M, FARTHEST_M, "m")
