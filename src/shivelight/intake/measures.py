"""Lengths and angles as they are measured in a wood: tape, feet, paces, fingers, compass.

Each comes with a standard error by how it was measured; those errors are judgements, and a
person who knows better types their own after "±".
"""

import math
import re
from dataclasses import dataclass

from shivelight.basis.angles import signed_difference_deg
from shivelight.basis.errors import BadInputError, require_range
from shivelight.intake.sights import USUAL_HAND, HandSpan, bearing_deg, hand_deg

PACE_M = 0.75
"""A pace on rough ground, until one's own is set. [m] A judgement."""
TAPED_FRAC, TAPED_LEAST_M = 0.01, 0.01
PACED_FRAC = 0.05
SPANNED_DEG = 1.0
READ_DEG = 0.5
COMPASS_DEG = 2.0
"""Standard errors: of a taped length (and at least a centimetre), of a paced one, of an angle
spanned by hand, of one given in degrees, and of a bearing by compass. Judgements, all of them."""
_NUMBER = r"[-+−]?(?:\d+(?:[.,]\d+)?|[.,]\d+)"
_UNITS_M = {
    "": 1.0, "m": 1.0, "metre": 1.0, "metres": 1.0, "meter": 1.0, "meters": 1.0,
    "cm": 0.01, "mm": 0.001,
    "ft": 0.3048, "foot": 0.3048, "feet": 0.3048, "'": 0.3048,
    "in": 0.0254, "inch": 0.0254, "inches": 0.0254, '"': 0.0254,
    "yd": 0.9144, "yard": 0.9144, "yards": 0.9144,
}  # fmt: skip
# Exact by definition: the international foot, inch and yard.
_PACES = ("pace", "paces", "step", "steps", "stride", "strides")
_SIDES = {"left": -1.0, "l": -1.0, "right": 1.0, "r": 1.0}
_AHEAD = ("ahead", "straight ahead", "on the axis", "in the middle")


@dataclass(frozen=True, slots=True, kw_only=True)
class Hands:
    """What a person measures with.

    Attributes
    ----------
    pace_m : float
        One pace. [m]
    hand : HandSpan
        Fingers and fist at arm's length.
    view_azimuth_deg : float
        True bearing of the lens axis at the mark. [°]
    """

    pace_m: float = PACE_M
    hand: HandSpan = USUAL_HAND
    view_azimuth_deg: float = 0.0

    def __post_init__(self) -> None:
        require_range("pace", self.pace_m, 0.3, 1.5, "m")


@dataclass(frozen=True, slots=True, kw_only=True)
class Length:
    """A length that was measured.

    Attributes
    ----------
    length_m, doubt_m : float
        And its standard error. [m]
    to_bark : bool
        Whether it ends at the bark and not in the middle of a trunk.
    """

    length_m: float
    doubt_m: float
    to_bark: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Angle:
    """An angle that was measured, to the right or up. [°]."""

    angle_deg: float
    doubt_deg: float


def read_length(text: str, *, what: str = "distance", hands: Hands | None = None) -> Length:
    """Read a length.

    Parameters
    ----------
    text : str
        "7", "7 m", "23 ft", "6 ft 3 in", "65 cm", "10 paces", "7 m ± 0.1", "6.7 m to the bark".
    what : str
        What it is, for the sentence that refuses it.
    hands : Hands, optional
        How long a pace is.

    Raises
    ------
    BadInputError
        For words that are no length.
    """
    said, to_bark = _without_bark(text)
    said, own = _parted(said)
    total_m, paced, end = 0.0, False, 0
    part = re.compile(rf"\s*({_NUMBER})\s*([a-z]+|['\"])?\s*(?:and\b)?")
    while end < len(said):
        found = part.match(said, end)
        unit = (found[2] or "") if found else "?"
        if found is None or (unit not in _UNITS_M and unit not in _PACES) or (end and not unit):
            raise _no_length(what, text)
        size = _pace(hands) if unit in _PACES else _UNITS_M[unit]
        total_m += _float(found[1]) * size
        paced |= unit in _PACES
        end = found.end()
    if not said:
        raise _no_length(what, text)
    usual_m = PACED_FRAC * total_m if paced else max(TAPED_FRAC * total_m, TAPED_LEAST_M)
    doubt_m = usual_m if own is None else read_length(own, what="doubt", hands=hands).length_m
    return Length(length_m=total_m, doubt_m=abs(doubt_m), to_bark=to_bark)


def read_angle(text: str, *, hands: Hands | None = None, what: str = "angle") -> Angle:
    """Read an angle from the lens axis, to the right positive.

    Parameters
    ----------
    text : str
        "-10.5", "10.5° left", "1 fist right", "two fingers left", "ahead", "at 118°", "at ESE".
    hands : Hands, optional
        One's own hand, and the bearing of view that a bearing is taken from.
    what : str
        What it is, for the sentence that refuses it.

    Raises
    ------
    BadInputError
        For words that are no angle, or hands without a side.
    """
    known = hands or Hands()
    said, own = _parted(text.strip().lower().replace("−", "-"))
    if said in _AHEAD:
        return Angle(angle_deg=0.0, doubt_deg=_own_deg(own, READ_DEG))
    compass = re.fullmatch(r"(?:at|bearing|bears)\s+(.+?)(?:\s+true)?", said)
    if compass:
        off = signed_difference_deg(bearing_deg(compass[1]), known.view_azimuth_deg)
        return Angle(angle_deg=float(off), doubt_deg=_own_deg(own, COMPASS_DEG))
    sided = re.fullmatch(r"(.+?)\s*(?:\bto the\s+)?\b(left|right|l|r)", said)
    bare = sided[1].strip() if sided else said
    plain = re.fullmatch(rf"({_NUMBER})\s*(?:°|deg|degrees?)?", bare)
    if sided is None and re.search(r"finger|fist|span|spread", bare):
        raise BadInputError(f"The {what} {text!r} needs a side; write left or right after it.")
    if plain is None and sided is None:
        raise BadInputError(
            f"The {what} {text!r} is not read; write degrees like -10.5 or '10.5 left', hands "
            "like '1 fist right', or a bearing like 'at 118'."
        )
    side = _SIDES[sided[2]] if sided else 1.0
    if plain is not None:
        size_deg, usual_deg = _float(plain[1]), READ_DEG
        if sided and size_deg < 0.0:
            raise BadInputError(f"The {what} {text!r} has both a minus and a side; keep one.")
    else:
        size_deg, usual_deg = hand_deg(bare, hand=known.hand), SPANNED_DEG
    require_range(what, size_deg, -180.0, 180.0, "°")
    return Angle(angle_deg=side * size_deg, doubt_deg=_own_deg(own, usual_deg))


def read_altitude(text: str, *, hands: Hands | None = None, what: str = "altitude") -> Angle:
    """Read an angle above the level: "12", "2 fists 1 finger", "3 below".

    Parameters
    ----------
    text : str
        As typed.
    hands : Hands, optional
        One's own hand.
    what : str
        What it is, for the sentence that refuses it.
    """
    said, own = _parted(text.strip().lower().replace("−", "-"))
    down = re.fullmatch(r"(.+?)\s+(?:below|down)", said)
    bare = down[1] if down else re.sub(r"\s+(?:up|above)$", "", said)
    size_deg = hand_deg(bare, hand=(hands or Hands()).hand)
    by_degrees = re.fullmatch(rf"{_NUMBER}\s*(?:°|deg|degrees?)?", bare) is not None
    require_range(what, size_deg, -90.0, 90.0, "°")
    doubt_deg = _own_deg(own, READ_DEG if by_degrees else SPANNED_DEG)
    return Angle(angle_deg=-size_deg if down else size_deg, doubt_deg=doubt_deg)


def read_width(text: str, *, distance_m: float, hands: Hands | None = None) -> Length:
    """Read a trunk's thickness: "0.55", "55 cm", "girth 1.73 m", "2 fingers".

    Parameters
    ----------
    text : str
        As typed; fingers are turned into metres by the distance.
    distance_m : float
        How far it stands. [m]
    hands : Hands, optional
        One's own hand.
    """
    said = text.strip().lower()
    girth = re.fullmatch(r"(?:girth|round)\s+(.+)|(.+)\s+(?:girth|round)", said)
    if girth:
        round_ = read_length(girth[1] or girth[2], what="girth", hands=hands)
        return Length(length_m=round_.length_m / math.pi, doubt_m=round_.doubt_m / math.pi)
    if re.search(r"finger|fist|span|°|deg", said):
        angle = read_altitude(said, hands=hands, what="width")
        half = math.radians(angle.angle_deg) / 2.0
        return Length(
            length_m=2.0 * distance_m * math.tan(half),
            doubt_m=distance_m * math.radians(angle.doubt_deg),
        )
    return read_length(said, what="width", hands=hands)


def read_rise(text: str) -> float:
    """Read the rise of the ground, up positive: "1 in 8", "7°", "5 down", "0.12 m/m".

    Parameters
    ----------
    text : str
        As typed; a bare number is degrees.
    """
    said = text.strip().lower().replace("−", "-")
    sign = -1.0 if re.search(r"\b(?:down|falling|falls)\b", said) else 1.0
    bare = re.sub(r"\b(?:down|up|falling|falls|rising|rises)\b", "", said).strip()
    if bare in {"level", "flat"}:
        return 0.0
    ratio = re.fullmatch(rf"({_NUMBER})\s*(?:in|:)\s*({_NUMBER})", bare)
    if ratio and _float(ratio[2]) > 0.0:
        return sign * _float(ratio[1]) / _float(ratio[2])
    steep = re.fullmatch(rf"({_NUMBER})\s*m/m", bare)
    if steep:
        return sign * _float(steep[1])
    plain = re.fullmatch(rf"({_NUMBER})\s*(?:°|deg|degrees?)?", bare)
    if plain:
        slope_deg = _float(plain[1])
        require_range("slope", slope_deg, -71.0, 71.0, "°")
        return sign * math.tan(math.radians(slope_deg))
    raise BadInputError(
        f"The slope {text!r} is not read; write '1 in 8', '7 up', '5 down' or 'level'."
    )


def _without_bark(text: str) -> tuple[str, bool]:
    said = text.strip().lower().replace("−", "-")
    bare = re.sub(r"\s*(?:to\s+(?:the\s+)?)?\bbark$", "", said)
    return bare, bare != said


def _parted(text: str) -> tuple[str, str | None]:
    """Part what was measured from its doubt."""
    said, mark, own = text.replace("+/-", "±").replace("+-", "±").partition("±")
    if mark and not own.strip():
        raise BadInputError(f"{text.strip()!r} ends with ±; write by how much it may be wrong.")
    return said.strip(), own.strip() if mark else None


def _own_deg(own: str | None, usual_deg: float) -> float:
    return usual_deg if own is None else abs(hand_deg(own))


def _pace(hands: Hands | None) -> float:
    return PACE_M if hands is None else hands.pace_m


def _float(text: str) -> float:
    return float(text.replace(",", ".").replace("−", "-"))


def _no_length(what: str, text: str) -> BadInputError:
    return BadInputError(
        f"The {what} {text!r} is not read; write it like 7 m, 23 ft, 65 cm or 10 paces."
    )
