"""What a spot waits for, in words that a photographer writes and a sum can test.

``parse_wish("mist 120 to 260 m")`` and ``wish.words`` are each other's inverse. A wish is a
*must* or a *would like*; the overlap needs all musts of a spot to hold at once.
"""

import datetime as dt
import re
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from shivelight.basis.errors import BadInputError, require_range


class WishKind(StrEnum):
    """The sorts of wish; the value is its name in the field book."""

    MIST = "mist"  # low..high, metres of optical range
    CLEAR_AIR = "clear air"  # optical range above 5 km
    LIGHT = "light"  # choices: direct, soft
    FACING = "facing"  # choices: front, side, back
    SUN = "sun"  # low..high, degrees of altitude
    AIR = "air"  # choices: still, stirring, moving
    LEAF = "leaf"  # choices of leaf stage
    GROUND = "ground"  # choices: wet, dry, frost, hoar
    SKY = "sky"  # choices: clear, broken, overcast
    SEASON = "season"  # from month-day to month-day


LEAF_STAGES = ("bare", "flush", "full", "turning", "peak", "drop")
CHOICES: dict[WishKind, tuple[str, ...]] = {
    WishKind.LIGHT: ("direct", "soft"),
    WishKind.FACING: ("front", "side", "back"),
    WishKind.AIR: ("still", "stirring", "moving"),
    WishKind.LEAF: LEAF_STAGES,
    WishKind.GROUND: ("wet", "dry", "frost", "hoar"),
    WishKind.SKY: ("clear", "broken", "overcast"),
}
_UNITS = {WishKind.MIST: "m", WishKind.SUN: "deg"}
_NOUNS = {WishKind.LIGHT: "light", WishKind.FACING: "light", WishKind.AIR: "air"}
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
EXAMPLES = (
    "mist 120 to 260 m", "clear air", "direct light", "soft light", "back light",
    "sun 2 to 6 deg", "still air", "leaf turning or bare", "ground wet", "hoar", "sky overcast",
    "from 15 Apr to 10 May",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """One wish of a spot.

    Attributes
    ----------
    kind : WishKind
        Which sort.
    must : bool
        True for a must, False for a would-like.
    low, high : float or None
        Limits of a mist wish [m of optical range] or a sun wish [° of altitude].
    choices : tuple of str
        Accepted states of a wish of choices.
    from_day, to_day : (month, day) or None
        Ends of a season wish; it may run over the new year.
    """

    kind: WishKind
    must: bool
    low: float | None = None
    high: float | None = None
    choices: tuple[str, ...] = ()
    from_day: tuple[int, int] | None = None
    to_day: tuple[int, int] | None = None

    def __post_init__(self) -> None:
        self._check_nothing_more()
        if self.kind in {WishKind.MIST, WishKind.SUN}:
            self._check_limits()
        elif self.kind in CHOICES:
            known = CHOICES[self.kind]
            twice = len(set(self.choices)) < len(self.choices)
            if not self.choices or twice or set(self.choices) - set(known):
                raise BadInputError(
                    f"A wish for {self.kind} is one or more of {', '.join(known)}, each once; "
                    f"got {', '.join(self.choices) or 'nothing'}."
                )
        elif self.kind is WishKind.SEASON:
            if self.from_day is None or self.to_day is None:
                raise BadInputError("A season wish needs two days, such as from 15 Apr to 10 May.")
            for month, day in (self.from_day, self.to_day):
                _check_day(month, day)

    def _check_nothing_more(self) -> None:
        """Refuse parts that the kind does not have, for words would leave them out."""
        extra = {
            "limits": self.kind not in _UNITS and (self.low is not None or self.high is not None),
            "choices": self.kind not in CHOICES and self.choices != (),
            "days": self.kind is not WishKind.SEASON
            and (self.from_day is not None or self.to_day is not None),
        }
        for name, is_there in extra.items():
            if is_there:
                raise BadInputError(f"A wish for {self.kind} has no {name}.")

    def _check_limits(self) -> None:
        if self.low is None or self.high is None:
            raise BadInputError(f"A wish for {self.kind} needs two limits.")
        if self.kind is WishKind.MIST:
            require_range("mist limit", self.low, 0.0, 20_000.0, "m")
            require_range("mist limit", self.high, 1.0, 20_000.0, "m")
        else:
            require_range("sun altitude", self.low, -18.0, 90.0, "°")
            require_range("sun altitude", self.high, -18.0, 90.0, "°")
        if not self.low < self.high:
            raise BadInputError(
                f"The wish for {self.kind} runs from {self.low:g} to {self.high:g}; "
                "the first number must be the smaller."
            )

    @property
    def words(self) -> str:
        """The wish as it is written and read."""
        if self.kind in _UNITS:
            return f"{self.kind} {_plain(self.low)} to {_plain(self.high)} {_UNITS[self.kind]}"
        if self.from_day is not None and self.to_day is not None:
            return f"from {_day_words(self.from_day)} to {_day_words(self.to_day)}"
        chosen = " or ".join(self.choices)
        if self.kind in _NOUNS:
            return f"{chosen} {_NOUNS[self.kind]}"
        return f"{self.kind} {chosen}".strip()

    def in_season(self, day: dt.date) -> bool:
        """Whether a season wish holds on a day; True for every other kind."""
        if self.kind is not WishKind.SEASON or self.from_day is None or self.to_day is None:
            return True
        today = (day.month, day.day)
        if self.from_day <= self.to_day:
            return self.from_day <= today <= self.to_day
        return today >= self.from_day or today <= self.to_day


def parse_wish(text: str, *, must: bool) -> Wish:
    """Read a wish from words.

    Parameters
    ----------
    text : str
        Such as any of :data:`EXAMPLES`; capitals, commas, "°", "-" for "to" and a decimal comma
        are understood.
    must : bool
        True for a must, False for a would-like.

    Raises
    ------
    BadInputError
        If the words are none of these; the text gives examples.
    """
    said = re.sub(r"\s+", " ", text.strip().lower().replace("°", " deg"))
    made = _limits(said, must) or _season(said, must) or _chosen(said, must)
    if made is None:
        raise BadInputError(
            f"No wish is understood in {text!r}; write it like one of: {'; '.join(EXAMPLES)}."
        )
    return made


_NUMBER = r"(-?\d+(?:[.,]\d+)?)"
_UNIT = r"(m|km|deg|degrees)?"
_LIMITS = re.compile(
    rf"(mist|fog|sun) {_NUMBER} ?{_UNIT} ?(?:to|-|–) ?{_NUMBER} ?{_UNIT}",
)
_DAY = r"(\d{1,2})\.? ([a-z]{3})[a-z]*"
_SEASON = re.compile(rf"(?:season |from |between )?{_DAY} ?(?:to|-|–|and) ?{_DAY}")


def _limits(said: str, must: bool) -> Wish | None:
    found = _LIMITS.fullmatch(said)
    if not found:
        return None
    word, low, low_unit, high, high_unit = found.groups()
    kind = WishKind.SUN if word == "sun" else WishKind.MIST
    limits = [
        _limit(low, low_unit or high_unit, said=said, kind=kind),
        _limit(high, high_unit or low_unit, said=said, kind=kind),
    ]
    return Wish(kind=kind, must=must, low=limits[0], high=limits[1])


def _limit(number: str, unit: str | None, *, said: str, kind: WishKind) -> float:
    """Read one limit in metres or degrees."""
    if unit is not None and (unit in {"m", "km"}) is (kind is WishKind.SUN):
        raise BadInputError(f"In {said!r} the unit is {unit}; mist is in m or km, the sun in deg.")
    if unit != "km" and re.fullmatch(r"-?[1-9]\d*,\d{3}", number):
        raise BadInputError(
            f"{number} can be read two ways; write {number.replace(',', '')} or "
            f"{number.replace(',', '.')}."
        )
    return float(number.replace(",", ".")) * (1000.0 if unit == "km" else 1.0)


def _season(said: str, must: bool) -> Wish | None:
    found = _SEASON.fullmatch(said)
    if not found:
        return None
    days = []
    for day, name in ((found[1], found[2]), (found[3], found[4])):
        if name.capitalize() not in MONTHS:
            raise BadInputError(f"{name!r} is no month; write it like 15 Apr.")
        days.append((MONTHS.index(name.capitalize()) + 1, int(day)))
    return Wish(kind=WishKind.SEASON, must=must, from_day=days[0], to_day=days[1])


def _chosen(said: str, must: bool) -> Wish | None:
    if said in {"clear air", "no mist"}:
        return Wish(kind=WishKind.CLEAR_AIR, must=must)
    said = re.sub(r"[, ]+(?:or )?", " ", said)
    words = said.split(" ")
    for kind, noun in _NOUNS.items():
        if words[-1] == noun and set(words[:-1]) <= set(CHOICES[kind]) and words[:-1]:
            return Wish(kind=kind, must=must, choices=tuple(words[:-1]))
    if words[0] in {"wet", "dry", "frost", "hoar"}:
        words = ["ground", *words]
    for kind in (WishKind.LEAF, WishKind.GROUND, WishKind.SKY, WishKind.AIR, WishKind.LIGHT):
        if words[0] == kind.value and words[1:]:
            return Wish(kind=kind, must=must, choices=tuple(words[1:]))
    return None


def _plain(number: float | None) -> str:
    """Write a number with all its digits, but no exponent and no idle zeros."""
    return "" if number is None else np.format_float_positional(number, trim="-")


def _check_day(month: int, day: int) -> None:
    try:
        dt.date(2024, month, day)  # a leap year, so that 29 Feb may be wished for
    except ValueError as why:
        raise BadInputError(f"There is no day {day} in month {month}.") from why


def _day_words(day: tuple[int, int]) -> str:
    return f"{day[1]} {MONTHS[day[0] - 1]}"
