"""Skyline heights as a person measures them: in degrees, or in fingers, fists and hand-spans."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields

import numpy as np

from shivelight.basis.angles import COMPASS_POINTS
from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, require_range

_NUMBER = r"[-+−]?(?:\d+(?:[.,]\d+)?|[.,]\d+|½)"
_COUNTS = {
    "half": 0.5, "a": 1.0, "an": 1.0, "one": 1.0, "two": 2.0, "three": 3.0, "four": 4.0,
    "five": 5.0, "six": 6.0, "seven": 7.0, "eight": 8.0, "nine": 9.0, "½": 0.5,
}  # fmt: skip
_INITIALS = {"north": "N", "south": "S", "east": "E", "west": "W"}
_POINTS = {
    "".join(_INITIALS[word] for word in name.split("-")): index * 22.5
    for index, name in enumerate(COMPASS_POINTS)
}


@dataclass(frozen=True, slots=True, kw_only=True)
class HandSpan:
    """What parts of one's hand cover at arm's length.

    The usual figures are general trade knowledge, good to a fifth or so; each person measures
    once, for instance against a tower whose height and distance the map gives.

    Attributes
    ----------
    finger_deg, three_fingers_deg, fist_deg, span_deg : float
        Little finger; the three middle fingers held together; fist; spread hand from thumb tip
        to little finger tip. [°]
    """

    finger_deg: float = 1.0
    three_fingers_deg: float = 5.0
    fist_deg: float = 10.0
    span_deg: float = 20.0

    def __post_init__(self) -> None:
        for one in fields(self):
            part = one.name.removesuffix("_deg").replace("_", " ")
            require_range(f"the {part} at arm's length", getattr(self, one.name), 0.2, 45.0, "°")
        if not self.finger_deg < self.three_fingers_deg < self.fist_deg < self.span_deg:
            raise BadInputError(
                "At arm's length a finger must cover less than three, three less than a fist, "
                "and a fist less than a spread hand; measure again."
            )

    def scaled(self, part: str, measured_deg: float) -> "HandSpan":
        """Scale the whole hand so that one measured part covers what was measured.

        Parameters
        ----------
        part : {"finger", "three fingers", "fist", "span"}
            What was held up.
        measured_deg : float
            The known angle that it just covered. [°]

        Raises
        ------
        BadInputError
            For another part of the hand.
        OutOfRangeError
            For an angle that no arm makes.
        """
        name = f"{part.replace(' ', '_')}_deg"
        if name not in {one.name for one in fields(self)}:
            raise BadInputError(
                f"The hand has no {part!r} here; measure a finger, three fingers, a fist or a "
                "span."
            )
        usual_deg = float(getattr(self, name))
        low, high = usual_deg / 2.0, usual_deg * 2.0
        require_range(
            f"the {part} at arm's length", measured_deg, low, high, "°", "Measure once more."
        )
        share = measured_deg / usual_deg
        return HandSpan(
            finger_deg=self.finger_deg * share,
            three_fingers_deg=self.three_fingers_deg * share,
            fist_deg=self.fist_deg * share,
            span_deg=self.span_deg * share,
        )

    def fingers_deg(self, count: float) -> float:
        """Height of some fingers held together: even steps from one (little) to three."""
        if count <= 1.0:
            return count * self.finger_deg
        step_deg = (self.three_fingers_deg - self.finger_deg) / 2.0
        return self.finger_deg + (count - 1.0) * step_deg


USUAL_HAND = HandSpan()


def hand_deg(text: str, *, hand: HandSpan = USUAL_HAND) -> float:
    """Read a height in degrees or hand-spans.

    Parameters
    ----------
    text : str
        "12.5", "12,5°", "2 fists 1 finger", "a span and three fingers", "half a fist".
    hand : HandSpan
        One's own hand.

    Returns
    -------
    float
        [°]

    Raises
    ------
    BadInputError
        For words that are none of these.
    """
    said = text.strip().lower().replace("−", "-")
    plain = re.fullmatch(rf"({_NUMBER})\s*(?:°|deg|degrees?)?", said)
    if plain:
        return _count(plain[1])
    words = re.sub(r"\b(?:little|and|hand)\b|,(?!\d)|[+&]", " ", said.replace("hand-span", "span"))
    count_words = "|".join(word for word in _COUNTS if word.isalpha())
    part = rf"\s*(?:({_NUMBER}|(?:{count_words})(?:\s+an?)?)\s+)?(finger|fist|span|spread)s?\b\s*"
    total_deg, end = 0.0, 0
    for found in re.finditer(part, words):
        if found.start() != end:
            break
        count, end = _count((found[1] or "one").split()[0]), found.end()
        if found[2] == "finger":
            total_deg += hand.fingers_deg(count)
        else:
            total_deg += count * (hand.fist_deg if found[2] == "fist" else hand.span_deg)
    if end == 0 or end != len(words):
        raise BadInputError(
            f"The height {text!r} is not read; write degrees, like 12.5, or hands, like "
            "'2 fists 1 finger'."
        )
    return total_deg


def bearing_deg(text: str) -> float:
    """Read a bearing in degrees or as a compass point ("95", "E", "east-south-east").

    Raises
    ------
    BadInputError
        For anything else, or degrees outside 0 to 360.
    """
    said = text.strip().rstrip("°").strip()
    if re.fullmatch(_NUMBER, said):
        value = _count(said)
        if not 0.0 <= value <= 360.0:
            raise BadInputError(
                f"The bearing {value:g}° is not on the compass; it must be 0 to 360°."
            )
        return value % 360.0
    if said.upper() in _POINTS:
        return _POINTS[said.upper()]
    name = re.sub(r"[\s-]+", "-", said.lower())
    if name in COMPASS_POINTS:
        return COMPASS_POINTS.index(name) * 22.5
    raise BadInputError(
        f"The bearing {text!r} is not read; write degrees from north, like 95, or a point, like "
        "ESE."
    )


def read_sight_lines(
    lines: Iterable[str], *, finger_deg: float | None = None, hand: HandSpan = USUAL_HAND
) -> tuple[FloatArray, FloatArray]:
    """Read typed skyline heights, one bearing and height a line.

    Parameters
    ----------
    lines : iterable of str
        "95: 1 fist 2 fingers", "95 12.5", "E; 9", "95,12.5"; empty lines, lines that begin with
        ``#`` and a first line of column names are passed over.
    finger_deg : float, optional
        What one's own little finger covers at arm's length; the rest of the hand is scaled with
        it. [°]
    hand : HandSpan
        One's own hand where more of it has been measured.

    Returns
    -------
    azimuth_deg, altitude_deg : ndarray of float64, shape (M,)
        As typed and in that order: bearings of whatever north they were read from. [°]

    Raises
    ------
    BadInputError
        With the number of the line that is not read.
    OutOfRangeError
        For a finger that no hand has.
    """
    if finger_deg is not None:
        hand = hand.scaled("finger", finger_deg)
    bearings: list[float] = []
    heights: list[float] = []
    for number, raw in enumerate(lines, start=1):
        line = raw.split("#")[0].strip()
        if not line or (not bearings and _is_heading(line)):
            continue
        bearing, height = _two_parts(line, number)
        try:
            bearings.append(bearing_deg(bearing))
            heights.append(hand_deg(height, hand=hand))
        except BadInputError as why:
            raise BadInputError(f"Line {number}: {why}") from why
    if not bearings:
        raise BadInputError("No heights were typed; write a bearing and a height, such as 95: 12.")
    return np.array(bearings), np.array(heights)


def _two_parts(line: str, number: int) -> Sequence[str]:
    """Split a line at its first colon, semicolon or tab, else comma, else blank."""
    for mark in (":", ";", "\t"):
        if mark in line:
            return [part.strip() for part in line.split(mark, 1)]
    # A comma between digits may be a decimal one: "95,5 12" has a blank to part at.
    found = re.fullmatch(r"([^\s,]+(?:,\d+(?=\s))?)[\s,]+(.*\S)", line)
    if not found:
        raise BadInputError(
            f"Line {number} is {line!r}; write a bearing and a height, such as 95: 12."
        )
    return found[1], found[2]


def _is_heading(line: str) -> bool:
    """Whether a line holds column names: no digit, and its first word no compass point."""
    first = re.split(r"[\s,;:]+", line, maxsplit=1)[0]
    return not re.search(r"\d", line) and first.upper() not in _POINTS and "-" not in first


def _count(text: str) -> float:
    said = text.strip().lower()
    if said in _COUNTS:
        return _COUNTS[said]
    try:
        return float(said.replace(",", "."))
    except ValueError:
        raise BadInputError(f"The count {text!r} is not read; write a number.") from None
