"""What the evening is told: the outlook of each spot for a morning, and the choice among them.

These are the values that ``judge`` works out, the store keeps as they were given, the sheet
prints and the log is later held against. All chances are shares of members between 0 and 1;
they are written as words by ``basis.chances``.
"""

import datetime as dt
from dataclasses import dataclass

import numpy as np

from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.basis.chances import Count
from shivelight.light.reach import LightWindow


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A span of time."""

    start_utc: np.datetime64
    end_utc: np.datetime64

    @property
    def minutes(self) -> float:
        """Length [min]."""
        return float((self.end_utc - self.start_utc) / np.timedelta64(1, "s")) / 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class WishOutlook:
    """One wish on one morning: the share of members in which it holds 20 minutes together."""

    words: str
    must: bool
    chance_frac: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Signs:
    """What speaks for and against, what is not known, and what would change the answer."""

    for_it: tuple[str, ...] = ()
    against_it: tuple[str, ...] = ()
    not_known: tuple[str, ...] = ()
    would_change: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MistOutlook:
    """Mist in one wood on one morning.

    Attributes
    ----------
    quarter_utc : ndarray of datetime64, shape (Q,)
        Starts of the quarter hours.
    mist_frac, fog_frac : ndarray, shape (Q,)
        Chance that the optical range in the wood is under 5 km and humid, and under 1 km.
    range_low_m, range_mid_m, range_high_m : ndarray, shape (Q,)
        Optical range at the 10, 50 and 90 % points of the members. [m]
    morning_mist_frac : float
        Chance of a range under 1 km in the wood at some hour from 1 h before to 2 h after
        sunrise: what "mist said" means.
    forecast_frac : float
        The same before the wood's own record was used.
    base_frac : float
        How often it happens in this season at the stations the model was made from.
    lifting : tuple of datetime64
        Times by which it has lifted in 1, 5 and 9 of 10 cases, given fog at sunrise; an entry
        is left out where it does not lift within eight hours.
    hill_fog_frac : float
        Chance that the wood is inside the cloud for a quarter hour or longer.
    moved_by : tuple of (str, float)
        What moved the chance most, in log-odds.
    missing : tuple of str
        Inputs that were not there.
    cost : str
        What that costs, in a sentence.
    seen : tuple of (str, tuple of datetime64)
        ``lifting`` again, after each word for the mist that is seen at sunrise.
    """

    quarter_utc: UtcArray
    mist_frac: FloatArray
    fog_frac: FloatArray
    range_low_m: FloatArray
    range_mid_m: FloatArray
    range_high_m: FloatArray
    morning_mist_frac: float
    forecast_frac: float
    base_frac: float
    lifting: tuple[np.datetime64, ...]
    hill_fog_frac: float
    moved_by: tuple[tuple[str, float], ...] = ()
    missing: tuple[str, ...] = ()
    cost: str = ""
    seen: tuple[tuple[str, tuple[np.datetime64, ...]], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SpotOutlook:
    """One spot on one morning.

    Attributes
    ----------
    spot, wood : str
        Names.
    chance_frac : float
        Share of members in which every must holds for at least 20 minutes together.
    quarter_utc, chance_by_quarter_frac : ndarray, shape (Q,)
        Quarter hours of the morning and the share of members in which all musts hold then.
    best : Stretch or None
        The stretch in which all musts hold together most often; None where they never do.
    best_low, best_high : datetime64 or None
        Earliest and latest end of that stretch (1 and 9 in 10 of the members that have one).
    minutes : float
        Middle length of the overlap among members that have one. [min]
    would_like_met : float
        Mean number of would-likes that also hold in the stretch.
    wishes : tuple of WishOutlook
        Each wish by itself.
    light : tuple of LightWindow
        When direct light reaches the spot, clouds apart.
    clears_utc : datetime64 or None
        When the sun first passes this skyline.
    leaf_air : tuple of str, length Q
        Air at leaf height by quarter hour: "still", "stirring", "moving" or "not known".
    mist : MistOutlook
        Mist at the spot's height in its wood.
    signs : Signs
        For, against, not known, would change.
    rests_on : str
        What the chance rests on, in a sentence.
    record : Count or None
        Mist on evenings like this in this wood's own record.
    alarm_utc, set_out_utc, park_utc, in_place_utc : datetime64 or None
        Worked backward from the stretch; None where there is none or the road time is missing.
    walk_min : float
        From the parking place, in the dark. [min]
    if_not : str
        What else to do there.
    leaf, ground : str
        Leaf stage and state of the ground at sunrise that most members have; empty when not
        known.
    """

    spot: str
    wood: str
    chance_frac: float
    quarter_utc: UtcArray
    chance_by_quarter_frac: FloatArray
    best: Stretch | None
    best_low: np.datetime64 | None
    best_high: np.datetime64 | None
    minutes: float
    would_like_met: float
    wishes: tuple[WishOutlook, ...]
    light: tuple[LightWindow, ...]
    clears_utc: np.datetime64 | None
    leaf_air: tuple[str, ...]
    mist: MistOutlook
    signs: Signs
    rests_on: str
    record: Count | None
    alarm_utc: np.datetime64 | None
    set_out_utc: np.datetime64 | None
    park_utc: np.datetime64 | None
    in_place_utc: np.datetime64 | None
    walk_min: float
    if_not: str
    leaf: str = ""
    ground: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """One stop of the walk."""

    spot: str
    arrive_utc: np.datetime64
    leave_utc: np.datetime64
    walk_min: float
    worth: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherPlan:
    """Plan B or C: what to do instead, and why it is the one."""

    spot: str
    wood: str
    walk_min: float | None
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Almanac:
    """Sun and Moon of the morning at the wood, over a level horizon."""

    civil_dawn_utc: np.datetime64 | None
    sunrise_utc: np.datetime64 | None
    sunrise_azimuth_deg: float | None
    moon_lit_frac: float
    moon_up_at_dawn: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ForecastNote:
    """Where the forecast came from, for the margin."""

    source: str
    issued_utc: np.datetime64 | None
    age_h: float | None
    members: int
    distance_km: float | None
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Morning:
    """The judgement of one coming morning.

    Attributes
    ----------
    day : date
        The civil day.
    zone_name : str
        Clock in which its times are printed.
    made_utc : datetime64
        When the judgement was made.
    answer : str
        The choice in one sentence, "Stay in bed" included.
    go : bool
        Whether it says go.
    spots : tuple of SpotOutlook
        All spots judged, best first.
    visits : tuple of Visit
        The walk inside the first spot's wood.
    plan_b, plan_c : OtherPlan or None
        What else.
    cautions : tuple of str
        Always on the sheet.
    almanac : Almanac
        Of the first spot's wood.
    forecasts : tuple of (str, ForecastNote)
        By wood.
    clock_note : str
        Said in the week after the clocks change; empty otherwise.
    left_out : tuple of (str, str)
        Woods that could not be judged, and why.
    """

    day: dt.date
    zone_name: str
    made_utc: np.datetime64
    answer: str
    go: bool
    spots: tuple[SpotOutlook, ...]
    visits: tuple[Visit, ...]
    plan_b: OtherPlan | None
    plan_c: OtherPlan | None
    cautions: tuple[str, ...]
    almanac: Almanac
    forecasts: tuple[tuple[str, ForecastNote], ...]
    clock_note: str = ""
    left_out: tuple[tuple[str, str], ...] = ()

    @property
    def first(self) -> SpotOutlook | None:
        """The spot that suits best; None when the book holds none."""
        return self.spots[0] if self.spots else None
