"""Cautions for the sheet: which lines a morning carries, from wind, darkness, dates and place.

Every line defers to local rules, owners and people on the spot, and none is ever a permission:
the absence of a line says nothing. Sentences are short because they are read by torch.

References
----------
.. [1] Wind limits: common practice: caution from mean force 6 or gusts of
   14 m/s, keep out from mean force 7 or gusts of 20 m/s. Forces 6 and 7 begin at 10.8 and
   13.9 m/s (World Meteorological Organization, Beaufort scale, from memory).
.. [2] Seasons of ticks, rut, nesting and flowers are rough and meant for temperate latitudes:
   a judgement, six months turned round south of the equator.
"""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

GUST_CAUTION_MPS = 14.0
GUST_KEEP_OUT_MPS = 20.0
MEAN_CAUTION_MPS = 10.8
MEAN_KEEP_OUT_MPS = 13.9

CHECK_LOCAL_RULES = "Rules: check local rules, signs and the owner's word; they come first."
_ALWAYS_LIMBS = "Limbs: old wood drops on still days too; look up first."
_DARK = "Dark: torch and a spare; wet roots slip; no light at houses or deer."
_ALONE = "Alone: leave word, with times to be back and to raise the alarm."

_BY_HAZARD: dict[str, str] = {
    "ash": "Ash: dying ash breaks without warning; no standing, waiting or parking beneath.",
    "water": "Water: banks are soft and slimy; gorges rise while it is dry where you stand.",
    "bog": "Bog: soft ground; keep to boards or a known line.",
    "cliff": "Edges: steep drops near; stop well back, and do not step with an eye to the lens.",
    "deer": "Deer: keep 50 m off, more if they are stirred, and never between animals.",
    "stalking": "Stalking: dawn is stalking time; ask the estate, be seen, keep to paths.",
    "felling": (
        "Felling: obey signs even when it is quiet; 90 m from machines; never climb stacks."
    ),
    "beech": "Beech: heavy limbs drop without wind, most of all in summer; do not stop beneath.",
    "slope": "Slope: wet leaves, roots and clay slide; go down as slowly as up.",
    "deadwood": "Dead wood: hung-up and dead limbs overhead; set up clear of their fall.",
    "veteran": "Veteran tree: stay off its roots (15 trunk widths round) and out of its hollow.",
}
_IN_SEASON = frozenset({"rut"})
"""Hazard words that matter for some weeks only; see :func:`_season`."""
_WATER_STANDS = ("carr", "alder")
_BRITTLE = frozenset({"ash", "deadwood"})
_BRITTLE_SHARE = 0.8
"""Wind limits are taken a fifth lower over ash and dead wood: a judgement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CautionFacts:
    """What the choice of cautions looks at.

    Attributes
    ----------
    day : date
        The civil day of the outing.
    gust_mps, mean_wind_mps : float or None
        Strongest gust and mean wind forecast from setting out to coming back, in the open at
        10 m; None where the forecast has none. [m/s]
    outside_twilight : bool
        Whether any leg, by road or on foot, falls outside civil twilight.
    lowest_degc : float or None
        Lowest air temperature of the outing. [°C]
    stands : tuple of str
        Stand types of the woods of the day.
    hazards : tuple of str
        Hazard words of those woods and spots.
    access : tuple of str
        Access notes that hold that day, in words.
    sun_in_frame : bool
        Whether the sun's disc may stand inside the frame.
    southern : bool
        South of the equator, where the seasons are turned round.
    """

    day: dt.date
    gust_mps: float | None = None
    mean_wind_mps: float | None = None
    outside_twilight: bool = False
    lowest_degc: float | None = None
    stands: tuple[str, ...] = ()
    hazards: tuple[str, ...] = ()
    access: tuple[str, ...] = ()
    sun_in_frame: bool = False
    southern: bool = False

    @property
    def season_month(self) -> int:
        """Month of the same season in the north."""
        return (self.day.month + 5) % 12 + 1 if self.southern else self.day.month


def cautions(facts: CautionFacts) -> tuple[str, ...]:
    """Choose the cautions of an outing, the ones that may stop it first.

    Parameters
    ----------
    facts : CautionFacts
        What is known of the morning.

    Returns
    -------
    tuple of str
        One or two sentences each, opening with a word and a colon; without repeats. The line on
        local rules is always among them and comes last.
    """
    lines = (
        *_wind(facts),
        *(
            f"Access, as noted: {note.rstrip('.')}. Ask whether it still holds."
            for note in facts.access
        ),
        *_dark_and_cold(facts),
        *_place(facts),
        *_season(facts),
        _ALONE,
        CHECK_LOCAL_RULES,
    )
    return tuple(dict.fromkeys(lines))


def _wind(facts: CautionFacts) -> Iterator[str]:
    gust, mean = facts.gust_mps, facts.mean_wind_mps
    if gust is None and mean is None:
        yield "Wind: not in this forecast; judge it yourself, and turn back if the crowns roar."
        yield _ALWAYS_LIMBS
        return
    words = {word.strip().lower() for word in facts.hazards}
    share = _BRITTLE_SHARE if words & _BRITTLE else 1.0
    blows, means = (gust or 0.0) / share, (mean or 0.0) / share
    said = _wind_words(gust, mean)
    if blows >= GUST_KEEP_OUT_MPS or means >= MEAN_KEEP_OUT_MPS:
        yield (
            f"Wind: {said}. Stay out of woods that day; trees and limbs come down, and hung-up "
            "wood falls for days after."
        )
    elif blows >= GUST_CAUTION_MPS or means >= MEAN_CAUTION_MPS:
        yield (
            f"Wind: {said}. Limbs may fall; keep from under old, dead and leaning trees, and "
            "turn back if the crowns roar."
        )
    if gust is None:
        yield "Gusts: not in this forecast; they run well above the mean wind."
    yield _ALWAYS_LIMBS


def _wind_words(gust_mps: float | None, mean_mps: float | None) -> str:
    parts = []
    if mean_mps is not None:
        parts.append(f"mean {mean_mps:.0f} m/s")
    if gust_mps is not None:
        parts.append(f"gusts to {gust_mps:.0f} m/s")
    return f"{', '.join(parts)} at 10 m in the open"


def _dark_and_cold(facts: CautionFacts) -> Iterator[str]:
    if facts.outside_twilight:
        yield _DARK
    if facts.lowest_degc is not None and facts.lowest_degc <= 2.0:
        yield "Cold: hollows run degrees below the forecast; ice on roots and roads."
    if facts.sun_in_frame:
        yield "Eyes: sun in the frame; never look at it through the lens."


def _place(facts: CautionFacts) -> Iterator[str]:
    words = {word.strip().lower() for word in facts.hazards}
    stands = " ".join(facts.stands).lower()
    if any(word in stands for word in _WATER_STANDS):
        words.add("water")
    if "ash" in stands.split():
        words.add("ash")
    if "pasture" in stands:
        words.add("veteran")
    for hazard, line in _BY_HAZARD.items():
        if hazard in words:
            yield line
    for word in sorted(words - _BY_HAZARD.keys() - _IN_SEASON):
        if word:
            yield f"Also noted: {word}."


def _season(facts: CautionFacts) -> Iterator[str]:
    month = facts.season_month
    words = {word.strip().lower() for word in facts.hazards}
    if month in {10, 11} and words & {"deer", "stalking", "rut"}:
        yield "Rut: stags and bucks are in rut; they may charge."
    if 3 <= month <= 11:
        yield "Ticks: trousers in socks; look yourself over after."
    if 3 <= month <= 8:
        yield "Nests: birds are nesting; move no scrub, and leave if one scolds you."
    if month in {4, 5}:
        yield "Flowers: stay on the path; bare litter between flowers is not one."
