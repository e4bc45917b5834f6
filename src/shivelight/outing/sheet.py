"""The values that the morning sheet and the leave-word card are printed from.

Templates get one of these and do no arithmetic; ``to_plain`` of it is the sheet's JSON form.
``outing.sheet_context`` makes the first from a :class:`Morning`.
"""

import datetime as dt
from dataclasses import dataclass

import numpy as np

from shivelight.basis.errors import BadInputError
from shivelight.basis.places import Position
from shivelight.outing.arrive import ArrivalRow
from shivelight.outing.judgement import Almanac, OtherPlan, SpotOutlook, Visit
from shivelight.outing.sheet_stand import SheetMark, SheetStand

THEMES = ("dim", "paper")


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetTime:
    """One line of the times.

    Attributes
    ----------
    utc : datetime64
        When.
    words : str
        What happens, short.
    kind : {"plain", "sun", "sky", "home"}
        "sun" is set large: direct light on the spot; "sky" is what only the almanac knows;
        "home" is over before the paper is looked at.
    """

    utc: np.datetime64
    words: str
    kind: str = "plain"


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenLifting:
    """When mist goes, given what is seen at sunrise.

    Attributes
    ----------
    seen : str
        One of the mist words.
    times : tuple of datetime64
        Gone by these in 1, 5 and 9 of 10 cases; an entry is left out where it does not go
        within eight hours.
    """

    seen: str
    times: tuple[np.datetime64, ...]

    def __post_init__(self) -> None:
        if len(self.times) > 3:
            raise BadInputError("A lifting has at most three times: 1, 5 and 9 of 10 cases.")


@dataclass(frozen=True, slots=True, kw_only=True)
class OnArrival:
    """What the on-arrival part looks up; empty where nothing was worked out."""

    rows: tuple[ArrivalRow, ...] = ()
    seen: tuple[SeenLifting, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SheetSpot:
    """One spot as the sheet carries it: no position, no grid reference.

    Attributes
    ----------
    outlook : SpotOutlook
        Its judgement; free words already quiet.
    subject : str
        In words.
    find_it_again : tuple of str
        Transits, lens height and bearing, and when they were last confirmed.
    set_lines : tuple of (str, str)
        What to set, a word and a sentence each.
    stand : SheetStand or None
        Where to put the tripod, where that is known.
    mark : SheetMark or None
        What the find-it-again strip is drawn from; None where no transit still stands.
    """

    outlook: SpotOutlook
    subject: str = ""
    find_it_again: tuple[str, ...] = ()
    set_lines: tuple[tuple[str, str], ...] = ()
    stand: SheetStand | None = None
    mark: SheetMark | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SheetContext:
    """Everything on one morning sheet.

    Attributes
    ----------
    day : date
        The civil day.
    zone_name : str
        Clock of every printed time.
    made_utc : datetime64
        When the judgement was made.
    theme : {"dim", "paper"}
        Theme written into the page before it is first painted.
    answer : str
        The choice in one sentence.
    go : bool
        Whether it says go.
    clock_note : str
        Said in the week after the clocks change.
    times : tuple of SheetTime
        In order.
    first : SheetSpot or None
        The best spot that may be shown.
    first_is : str
        What it is: "first", or why another spot stands there.
    others : tuple of SheetSpot
        The rest that may be shown, best first.
    plan_b, plan_c : OtherPlan or None
        What else.
    visits : tuple of Visit
        The walk inside the first wood.
    found_lines : tuple of (str, str)
        For paper: a state as found, and what to do.
    layers : tuple of (str, str)
        For paper: the last trunk seen, and where the subject belongs.
    arrival : OnArrival
        What the three taps look up.
    cautions : tuple of str
        Always on it.
    emergency : str
        Whom to call.
    forecasts : tuple of str
        Where the forecast came from and how old it was.
    almanac : Almanac
        Dawn and sunrise over a level horizon.
    kept_off : int
        How many spots are kept off this sheet.
    back_by_utc, alarm_utc : datetime64 or None
        As left with somebody at home.
    """

    day: dt.date
    zone_name: str
    made_utc: np.datetime64
    answer: str
    go: bool
    clock_note: str
    times: tuple[SheetTime, ...]
    first: SheetSpot | None
    others: tuple[SheetSpot, ...]
    plan_b: OtherPlan | None
    plan_c: OtherPlan | None
    visits: tuple[Visit, ...]
    found_lines: tuple[tuple[str, str], ...]
    layers: tuple[tuple[str, str], ...]
    arrival: OnArrival
    cautions: tuple[str, ...]
    emergency: str
    forecasts: tuple[str, ...]
    almanac: Almanac
    kept_off: int = 0
    back_by_utc: np.datetime64 | None = None
    alarm_utc: np.datetime64 | None = None
    first_is: str = "first"
    theme: str = "dim"

    def __post_init__(self) -> None:
        if self.theme not in THEMES:
            raise BadInputError(f"The sheet's theme {self.theme!r} is not dim or paper.")


EMERGENCY = "Emergency: 999, 112 or the local number; ask for police, then mountain rescue."


@dataclass(frozen=True, slots=True, kw_only=True)
class ParkingPlace:
    """Where the car stands.

    Attributes
    ----------
    wood : str
        For which wood.
    position : Position
        In full: this card goes to a person who is trusted.
    grid_reference : str
        In the national grid, where there is one; empty otherwise.
    words : str
        "lay-by before the heath gate".
    """

    wood: str
    position: Position
    grid_reference: str = ""
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LeaveWordCard:
    """What somebody at home needs for one day, and nothing of any other day.

    Attributes
    ----------
    day : date
        The civil day.
    zone_name : str
        Clock of its times.
    who, car, contact : str
        The photographer, the car in words, whom to ring first.
    parking : tuple of ParkingPlace
        One for each wood of the day, in order.
    route : tuple of str
        In words, one leg each.
    spots : tuple of str
        Today's spots only, in order.
    kept_off : int
        How many of today's spots are kept off the card.
    set_out_utc : datetime64 or None
        When the car leaves.
    back_by_utc, alarm_utc : datetime64
        When to be back, and when to raise the alarm.
    emergency : str
        Whom to call, where that applies.
    note, clock_note : str
        Anything, and the note of the week after the clocks change.
    """

    day: dt.date
    zone_name: str
    who: str
    car: str
    contact: str
    parking: tuple[ParkingPlace, ...]
    route: tuple[str, ...]
    spots: tuple[str, ...]
    back_by_utc: np.datetime64
    alarm_utc: np.datetime64
    set_out_utc: np.datetime64 | None = None
    kept_off: int = 0
    emergency: str = EMERGENCY
    note: str = ""
    clock_note: str = ""

    def __post_init__(self) -> None:
        if not self.back_by_utc < self.alarm_utc:
            raise BadInputError("The alarm must come after the time to be back by.")
        if not self.parking:
            raise BadInputError("A leave-word card needs the place where the car stands.")
