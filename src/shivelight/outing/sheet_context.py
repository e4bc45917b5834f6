"""Turn a judged morning into what the sheet may say: times, quiet places, what to do if not."""

import math
import re
from collections.abc import Sequence
from dataclasses import replace

from shivelight.basis.instants import clock
from shivelight.outing.arrive import ArrivalChoice, ArrivalRow
from shivelight.outing.judgement import ForecastNote, Morning, OtherPlan, Signs, SpotOutlook
from shivelight.outing.kit import Kit
from shivelight.outing.marks import MarkAnchors, sheet_lines
from shivelight.outing.outings import LeaveWord
from shivelight.outing.sheet import (
    EMERGENCY,
    LeaveWordCard,
    OnArrival,
    ParkingPlace,
    SheetContext,
    SheetSpot,
)
from shivelight.outing.sheet_stand import Ground, SheetStand, ground_of, mark_shown, quiet_stand
from shivelight.outing.sheet_times import sheet_times
from shivelight.outing.spots import Spot
from shivelight.outing.value_words import named as named_values
from shivelight.outing.wishes import WishKind
from shivelight.outing.woods import Privacy, Wood

NO_KIT = Kit()
KEPT_OFF_SPOT = "a spot kept off this sheet"
KEPT_OFF_CARD = "a spot kept off this card"
KEPT_OFF_WOOD = "a wood kept off this sheet"
NO_POSITION = "(position left off)"
_POSITIONS = (
    re.compile(r"\b[A-Z]{2} ?\d{3,5} ?\d{3,5}\b"),
    re.compile(r"-?\d{1,2}\.\d{3,}°? ?[NS]?[,; ]+-?\d{1,3}\.\d{3,}°? ?[EW]?"),
)
_PRINTED_STATES = (
    ("clear, still", ("none", "still", "clear")),
    ("mist, clear above", ("good", "still", "clear")),
    ("mist, cloud", ("good", "still", "overcast")),
    ("thick", ("thick", "still", "overcast")),
    ("moving air", ("thin", "moving", "broken")),
    ("cloud, no mist", ("none", "still", "overcast")),
)
_SHORT_WHY = 48
_PRINTED_RANGES_M = (60.0, 120.0, 260.0)


def sheet_context(
    morning: Morning,
    places: tuple[tuple[Wood, ...], tuple[Spot, ...]],
    *,
    arrival: OnArrival | None = None,
    word: LeaveWord | None = None,
    let_out: tuple[str, ...] = (),
    kit: Kit = NO_KIT,
    anchors: tuple[MarkAnchors, ...] = (),
    stands: tuple[SheetStand, ...] = (),
) -> SheetContext:
    """Make the sheet's values from a judged morning.

    Spots of class *never* (their own or their wood's) are left out, and their names and any
    position are taken out of every free sentence.

    Parameters
    ----------
    morning : Morning
        The judgement.
    places : (woods, spots)
        As the field book holds them.
    arrival : OnArrival, optional
        What the three taps look up.
    word : LeaveWord, optional
        The word left, for its two times.
    let_out : tuple of str
        Spots of class *never* that were let out by typing their names.
    kit : Kit
        What is in the bag, for which lens to carry.
    anchors : tuple of MarkAnchors
        What was noted on the marks of spots.
    stands : tuple of SheetStand
        Where to put the tripod, for spots where that is known.

    Returns
    -------
    SheetContext
        All that one sheet says.
    """
    woods, spots = places
    quiet = Quiet(woods, spots, let_out=let_out)
    known = {(spot.wood, spot.name): spot for spot in spots}
    typed = {spot.name: spot.mark.transits for spot in spots}
    noted = {one.spot: sheet_lines(one, typed.get(one.spot, ())) for one in anchors}
    grounds = ground_of(anchors, stands)
    shown = [
        _sheet_spot(
            _at_home(quiet.outlook(one), go=morning.go),
            known.get((one.wood, one.spot)),
            quiet,
            morning,
            kit=kit,
            anchors=noted.get(one.spot, ()),
            ground=grounds.get(one.spot, Ground()),
        )
        for one in morning.spots
        if not quiet.hides(one.spot, one.wood)
    ]
    first = shown[0] if shown else None
    tapped = quiet.arrival(arrival or OnArrival())
    visits = tuple(one for one in morning.visits if not quiet.hides(one.spot))
    plan_b, plan_c = quiet.plan(morning.plan_b), quiet.plan(morning.plan_c)
    return SheetContext(
        day=morning.day,
        zone_name=morning.zone_name,
        made_utc=morning.made_utc,
        answer=quiet.words(morning.answer),
        go=morning.go,
        clock_note=morning.clock_note,
        times=sheet_times(
            morning,
            quiet.outlook(morning.first) if morning.first and morning.go else None,
            visits=visits,
            word=word,
        ),
        first_is=_first_is(morning, first),
        first=first,
        others=tuple(shown[1:]),
        plan_b=plan_b,
        plan_c=plan_c,
        visits=visits,
        found_lines=found_lines(
            tapped.rows,
            (plan_b, plan_c),
            zone_name=morning.zone_name,
            if_not=first.outlook.if_not if first else "",
        ),
        layers=_layers(first, known),
        arrival=tapped,
        cautions=tuple(quiet.words(line) for line in morning.cautions),
        emergency=EMERGENCY,
        forecasts=forecast_lines(
            [one for one in morning.forecasts if not quiet.hides_wood(one[0])],
            zone_name=morning.zone_name,
        ),
        almanac=morning.almanac,
        kept_off=len(morning.spots) - len(shown),
        back_by_utc=word.back_by_utc if word else None,
        alarm_utc=word.alarm_utc if word else None,
    )


class Quiet:
    """Keeps spots and woods of class *never*, and positions, out of what leaves.

    Parameters
    ----------
    woods, spots : tuple
        As the field book holds them.
    let_out : tuple of str
        Names of spots let out on purpose.
    """

    def __init__(
        self, woods: tuple[Wood, ...], spots: tuple[Spot, ...], *, let_out: tuple[str, ...] = ()
    ) -> None:
        freed = {name.casefold() for name in let_out}
        self._woods = {w.name.casefold() for w in woods if w.privacy is Privacy.NEVER}
        self._spots = {
            spot.name.casefold()
            for spot in spots
            if (spot.privacy is Privacy.NEVER or spot.wood.casefold() in self._woods)
            and spot.name.casefold() not in freed
        }
        freed_woods = {s.wood.casefold() for s in spots if s.name.casefold() in freed}
        self._woods -= freed_woods
        self._swaps = [
            (re.compile(rf"(?<!\w){re.escape(name)}(?!\w)", re.IGNORECASE), instead)
            for names, instead in ((self._spots, KEPT_OFF_SPOT), (self._woods, KEPT_OFF_WOOD))
            for name in sorted(names, key=len, reverse=True)
        ]

    def hides(self, spot: str, wood: str = "") -> bool:
        """Whether a spot is kept off."""
        return spot.casefold() in self._spots or self.hides_wood(wood)

    def hides_wood(self, wood: str) -> bool:
        """Whether a wood is kept off."""
        return wood.casefold() in self._woods

    def words(self, text: str) -> str:
        """Take quiet names and positions out of a sentence."""
        for pattern in _POSITIONS:
            text = pattern.sub(NO_POSITION, text)
        for pattern, instead in self._swaps:
            text = pattern.sub(instead, text)
        return text[:1].upper() + text[1:] if text.startswith(("a spot", "a wood")) else text

    def plan(self, plan: OtherPlan | None) -> OtherPlan | None:
        """Keep a plan's words; None when the plan is itself a spot kept off."""
        if plan is None or self.hides(plan.spot, plan.wood):
            return None
        return replace(plan, words=self.words(plan.words))

    def outlook(self, outlook: SpotOutlook) -> SpotOutlook:
        """Make an outlook's free words quiet."""
        signs = Signs(
            for_it=self._each(outlook.signs.for_it),
            against_it=self._each(outlook.signs.against_it),
            not_known=self._each(outlook.signs.not_known),
            would_change=self._each(outlook.signs.would_change),
        )
        return replace(
            outlook,
            spot=KEPT_OFF_SPOT if self.hides(outlook.spot, outlook.wood) else outlook.spot,
            signs=signs,
            if_not=self.words(outlook.if_not),
            rests_on=self.words(outlook.rests_on),
        )

    def arrival(self, arrival: OnArrival) -> OnArrival:
        """Drop choices that are kept off, and make the rest quiet."""
        rows = tuple(
            replace(
                row,
                choices=tuple(
                    replace(choice, why=self.words(choice.why))
                    for choice in row.choices
                    if not self.hides(choice.spot, choice.wood)
                ),
            )
            for row in arrival.rows
        )
        return replace(arrival, rows=rows)

    def _each(self, lines: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(self.words(line) for line in lines)


def _sheet_spot(
    outlook: SpotOutlook,
    spot: Spot | None,
    quiet: Quiet,
    morning: Morning,
    *,
    kit: Kit,
    anchors: tuple[str, ...],
    ground: Ground,
) -> SheetSpot:
    if spot is None:
        return SheetSpot(outlook=outlook)
    found = [quiet.words(line) for line in (*spot.mark.transits, *anchors)]
    found.append(
        f"{spot.focal_length_mm:g} mm, lens {spot.lens_height_m:g} m up, "
        f"bearing {spot.view_azimuth_deg:.0f}° true"
    )
    if spot.mark.last_confirmed is not None:
        age_days = (morning.day - spot.mark.last_confirmed).days
        found.append(f"Last confirmed {age_days} days ago")
    elif spot.mark.transits or anchors:
        found.append("Never confirmed since it was set")
    return SheetSpot(
        outlook=outlook,
        subject=quiet.words(spot.subject),
        find_it_again=tuple(found),
        set_lines=_set_lines(spot, kit),
        stand=quiet_stand(ground.stand, quiet.words),
        mark=mark_shown(spot, ground, quiet.words),
    )


def _set_lines(spot: Spot, kit: Kit) -> tuple[tuple[str, str], ...]:
    musts = "; ".join(wish.words for wish in spot.musts)
    likes = "; ".join(wish.words for wish in spot.would_likes)
    lines = []
    if kit.lenses:
        lens = kit.lens_for(spot.focal_length_mm)
        which = lens.name if lens else "none of the kit reaches it"
        lines.append(("carry", f"{spot.focal_length_mm:g} mm: {which}"))
    if musts:
        lines.append(("wants", musts))
    if likes:
        lines.append(("likes", likes))
    if any(wish.kind is WishKind.MIST for wish in spot.wishes):
        # Common practice: a meter is fooled dark by mist.
        lines.append(("mist", "0.7 to 1 stop more; watch the highlights"))
    return tuple(lines)


def found_lines(
    rows: tuple[ArrivalRow, ...],
    plans: tuple[OtherPlan | None, ...],
    *,
    zone_name: str,
    if_not: str = "",
) -> tuple[tuple[str, str], ...]:
    """Pick the states that are printed, each with the best thing to do, then plans B and C.

    Parameters
    ----------
    rows : tuple of ArrivalRow
        The on-arrival answers.
    plans : tuple of OtherPlan or None
        B and C.
    zone_name : str
        Clock of the times.
    if_not : str
        What the first spot still gives; said where no spot suits a state.
    """
    by_taps = {(row.mist, row.air, row.light): row.choices for row in rows}
    lines, left = [], []
    for words, taps in _PRINTED_STATES:
        fits = [one for one in by_taps.get(taps, ()) if one.from_utc is not None]
        if fits:
            lines.append((words, _choice_words(fits[0], zone_name)))
        elif taps in by_taps:
            left.append(words)
    lines = _merged(lines)
    if left and if_not:
        lines.append(("none of these" if lines else "not as hoped", if_not.rstrip(".")))
    elif left:
        lines.append(("none of these", "nothing within a walk suits it"))
    for name, plan in zip(("plan B", "plan C"), plans, strict=True):
        if plan is not None:
            said = plan.words.rstrip(".")
            named = plan.spot.casefold() in said.casefold()
            lines.append((name, said if named else f"{plan.spot}: {said}"))
    return tuple(lines)


def _choice_words(choice: ArrivalChoice, zone_name: str) -> str:
    """Spot, walk and time; the reason too where it is short."""
    parts = [choice.spot]
    if choice.walk_min >= 1.0:
        parts.append(f"{choice.walk_min:.0f} min")
    if choice.from_utc is not None:
        start = clock(choice.from_utc, zone_name)
        end = choice.until_utc
        parts.append(f"from {start}" if end is None else f"{start}–{clock(end, zone_name)}")
    why = choice.why.rstrip(".")
    return f"{', '.join(parts)}{f': {why}' if len(why) <= _SHORT_WHY else ''}"


def _merged(lines: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """Say once what is the same for several states."""
    states: dict[str, list[str]] = {}
    for state, what in lines:
        states.setdefault(what, []).append(state)
    return [("; ".join(named), what) for what, named in states.items()]


def best_subject_distance_m(optical_range_m: float) -> float:
    """Distance at which a subject stands out most from what is three times as far. [m].

    With the contrast law C = 0.05^(d/V) the difference C(D) − C(3D) is greatest where
    C(D) = 1/√3, that is D = 0.183 V. Rough: dark trunks, even light and even mist.

    References
    ----------
    .. [1] Our own calculation from the visual-range law (5 % limit), AMS glossary.
    """
    return optical_range_m * math.log(math.sqrt(3.0)) / math.log(20.0)


def _layers(
    first: SheetSpot | None, known: dict[tuple[str, str], Spot]
) -> tuple[tuple[str, str], ...]:
    if first is None:
        return ()
    spot = known.get((first.outlook.wood, first.outlook.spot))
    if spot is None or not any(wish.kind is WishKind.MIST for wish in spot.wishes):
        return ()
    return tuple(
        (
            f"{range_m:g} m",
            f"subject about {best_subject_distance_m(range_m):.0f} m off "
            f"({range_m / 9.0:.0f} to {range_m / 3.5:.0f})",
        )
        for range_m in _PRINTED_RANGES_M
    )


def _at_home(outlook: SpotOutlook, *, go: bool) -> SpotOutlook:
    """Leave the way there out where the answer is to stay."""
    if go:
        return outlook
    return replace(outlook, alarm_utc=None, set_out_utc=None, park_utc=None, in_place_utc=None)


def _first_is(morning: Morning, first: SheetSpot | None) -> str:
    """Say what the spot shown first is: the one gone to, or the next after one kept off."""
    if not morning.go:
        return "nearest to it"
    kept_off = first is None or morning.first is None or first.outlook.spot != morning.first.spot
    return "after one kept off" if kept_off else "first"


def forecast_lines(
    notes: Sequence[tuple[str, ForecastNote]], *, zone_name: str
) -> tuple[str, ...]:
    """Say where the woods' forecasts came from; once where they share one."""
    woods: dict[str, list[str]] = {}
    for wood, note in notes:
        woods.setdefault(forecast_words(note, zone_name=zone_name), []).append(wood)
    if len(woods) == 1:
        return tuple(woods)
    return tuple(f"{', '.join(named)}: {words}" for words, named in woods.items())


def forecast_words(note: ForecastNote, *, zone_name: str) -> str:
    """Say where a forecast came from and how old it was."""
    parts = [note.source]
    if note.issued_utc is not None:
        parts.append(f"issued {clock(note.issued_utc, zone_name)}")
    if note.age_h is not None:
        parts.append(
            "under an hour old when judged"
            if note.age_h < 1.0
            else f"{note.age_h:.0f} h old when judged"
        )
    if note.members > 1:
        parts.append(f"{note.members} members")
    if note.distance_km is not None and note.distance_km >= 1.0:
        parts.append(f"made for a place {note.distance_km:.0f} km off")
    if note.missing:
        parts.append(f"without {named_values(note.missing)}")
    return ", ".join(parts)


def leave_word_card(
    morning: Morning,
    places: tuple[tuple[Wood, ...], tuple[Spot, ...]],
    *,
    word: LeaveWord,
    route: tuple[str, ...] = (),
    grid_references: dict[str, str] | None = None,
    let_out: tuple[str, ...] = (),
) -> LeaveWordCard:
    """Make the card for somebody at home: today's area only.

    Parameters
    ----------
    morning : Morning
        The judgement; its visits (or its first spot) are today's spots.
    places : (woods, spots)
        As the field book holds them.
    word : LeaveWord
        Who, car, whom to ring and the two times.
    route : tuple of str
        Legs in words; worked out from the walk when empty.
    grid_references : dict, optional
        By wood, of the parking place.
    let_out : tuple of str
        Spots of class *never* that were let out by typing their names.
    """
    woods, spots = places
    quiet = Quiet(woods, spots, let_out=let_out)
    first = morning.first
    today = [(one.spot, one.walk_min) for one in morning.visits]
    if not today and first is not None:
        today = [(first.spot, first.walk_min)]
    named = [name for name, _ in today if not quiet.hides(name)]
    there = [wood for wood in woods if first is not None and wood.name == first.wood]
    references = grid_references or {}
    legs = route or tuple(
        f"{walk_min:.0f} min on foot to {name if not quiet.hides(name) else KEPT_OFF_CARD}"
        for name, walk_min in today
    )
    return LeaveWordCard(
        day=morning.day,
        zone_name=morning.zone_name,
        who=word.who,
        car=word.car,
        contact=word.contact,
        parking=tuple(
            ParkingPlace(
                wood=wood.name,
                position=wood.parking,
                grid_reference=references.get(wood.name, ""),
            )
            for wood in there
        ),
        route=legs,
        spots=tuple(named),
        kept_off=len(today) - len(named),
        set_out_utc=first.set_out_utc if first is not None else None,
        back_by_utc=word.back_by_utc,
        alarm_utc=word.alarm_utc,
        note=word.note,
        clock_note=morning.clock_note,
    )
