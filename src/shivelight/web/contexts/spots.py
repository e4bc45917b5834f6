"""The list of spots as the page says it: by wood, what each waits for, last said and found."""

from collections.abc import Sequence
from dataclasses import dataclass

from shivelight.basis.chances import chance_in_words
from shivelight.drawing.words import counted, date_words
from shivelight.outing.found import Found
from shivelight.outing.spots import Spot, SpotState
from shivelight.web.show import link
from shivelight.workbench.results import WoodPage
from shivelight.workbench.week import Week

RANKS = ("first", "second", "third")
STATES = tuple(one.value for one in SpotState)


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotLine:
    """One spot in the list.

    Attributes
    ----------
    name, href : str
        Which, and its page.
    subject, wants : str
        What stands there, and what has to hold.
    state : str
        Waiting, made or lost.
    said, found : str
        What was said last of a coming morning, and found last; a sentence each.
    """

    name: str
    href: str
    subject: str
    wants: str
    state: str
    said: str
    found: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WoodSpots:
    """Spots of one wood."""

    wood: str
    href: str
    stand: str
    new: str
    spots: tuple[SpotLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One way to narrow the list."""

    words: str
    href: str
    is_here: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotsPage:
    """All spots, or those of one state.

    Attributes
    ----------
    lede : str
        How many there are.
    choices : tuple of Choice
        By state.
    woods : tuple of WoodSpots
        Woods that have any.
    has_wood, has_spot : bool
        Whether the book holds a wood to put one in, and any spot at all.
    """

    lede: str
    choices: tuple[Choice, ...]
    woods: tuple[WoodSpots, ...]
    has_wood: bool
    has_spot: bool


def spots_page(woods: Sequence[WoodPage], week: Week, *, state: str) -> SpotsPage:
    """Write the list.

    Parameters
    ----------
    woods : sequence of WoodPage
        Every wood with its spots and logs.
    week : Week
        What was last said of the coming mornings.
    state : str
        Show these alone; all when empty.
    """
    every = [spot for wood in woods for spot in wood.spots]
    shown = [_wood(wood, week, state) for wood in woods]
    return SpotsPage(
        lede=f"{counted(len(every), 'spot')} in {counted(len(woods), 'wood')}.",
        choices=(
            Choice(words=f"all {len(every)}", href="/spots", is_here=not state),
            *(_choice(one, every, state) for one in STATES),
        ),
        woods=tuple(one for one in shown if one.spots),
        has_wood=bool(woods),
        has_spot=bool(every),
    )


def wishes_words(spot: Spot) -> str:
    """Say what a spot waits for."""
    if not spot.wishes:
        return "Waits for nothing yet, so it never comes first."
    musts = ", ".join(one.words for one in spot.musts)
    likes = ", ".join(one.words for one in spot.would_likes)
    if not musts:
        return f"Would like {likes}."
    return f"Wants {musts}" + (f"; would like {likes}." if likes else ".")


def found_words(log: Found) -> str:
    """Say what a log says, in a few words."""
    mist = "wisps" if log.mist == "wisps" else f"{'no' if log.mist == 'none' else log.mist} mist"
    said = [mist]
    said += [f"seeing {log.optical_range_m:.0f} m"] if log.optical_range_m is not None else []
    said += [f"air {log.air}"] if log.air else []
    said += [f"light {log.light}"] if log.light else []
    said += [f"leaf {log.leaf}"] if log.leaf else []
    return ", ".join(said)


def _choice(state: str, every: Sequence[Spot], here: str) -> Choice:
    count = sum(spot.state == state for spot in every)
    return Choice(
        words=f"{state} {count}", href=link("/spots", state=state), is_here=here == state
    )


def _wood(page: WoodPage, week: Week, state: str) -> WoodSpots:
    name = page.wood.name
    return WoodSpots(
        wood=name,
        href=link("/wood", name=name),
        stand=page.wood.stand,
        new=link("/spot/new", wood=name),
        spots=tuple(
            SpotLine(
                name=spot.name,
                href=link("/spot", name=spot.name),
                subject=spot.subject,
                wants=wishes_words(spot),
                state=spot.state.value,
                said=_said(spot, week),
                found=_found(spot, page.logs),
            )
            for spot in page.spots
            if not state or spot.state == state
        ),
    )


def _said(spot: Spot, week: Week) -> str:
    for one in week.mornings:
        outlooks = one.morning.spots if one.morning is not None else ()
        for rank, outlook in enumerate(outlooks):
            if outlook.spot == spot.name:
                place = RANKS[rank] if rank < len(RANKS) else f"number {rank + 1}"
                return (
                    f"For {one.day:%A} {one.day.day} {one.day:%B}: "
                    f"{chance_in_words(outlook.chance_frac)}, {place} of {len(outlooks)}."
                )
    return "Nothing said of a coming morning."


def _found(spot: Spot, logs: Sequence[Found]) -> str:
    mine = [log for log in logs if log.spot in {spot.name, ""}]
    if not mine:
        return "Nothing found yet."
    last = max(mine, key=lambda log: (log.day, log.spot != ""))
    where = "" if last.spot else " in the wood"
    return f"Found {date_words(last.day)}{where}: {found_words(last)}."
