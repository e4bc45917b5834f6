"""On arrival as the page says it: the taps, where to go, and when such mist lifts."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, replace

from shivelight.basis.instants import clock, day_words, to_local, zone_label
from shivelight.drawing.words import window
from shivelight.outing.arrive import AIR_TAPS, GROUND_TAPS, LIGHT_TAPS, MIST_TAPS, ArrivalChoice
from shivelight.outing.judgement import Morning
from shivelight.web.boxes import Box
from shivelight.web.forms import Form
from shivelight.web.show import link
from shivelight.workbench.results import Arrival

TAPS = ("mist", "air", "light")
LIFTING_TIMES = 3
CAR = "the car"
NOT_JUDGED = "Judge the morning first: what suits on arrival is worked out from that."


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoiceLine:
    """One spot to walk to.

    Attributes
    ----------
    name, href, wood, walk, window, why : str
        Which, its page, how far, when its musts hold together, and what there is.
    """

    name: str
    href: str
    wood: str
    walk: str
    window: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ArrivePage:
    """What was found, and where to go.

    Attributes
    ----------
    day, zone : str
        The morning, and the clock of its times.
    judge : str
        Why there is nothing to tap yet, and where to go; empty when there is.
    judge_href : str
        Where the morning is judged.
    form : Form or None
        The taps.
    taps : str
        Their names, as the script wants them.
    found : str
        What was tapped, in words; empty before.
    answer, under : str
        The first to walk to, and why.
    choices : tuple of ChoiceLine
        All that can be walked to, best first.
    lifting : str
        When such mist lifts.
    problem : str
        Why the taps cannot be answered.
    """

    day: str
    zone: str
    judge: str
    judge_href: str
    form: Form | None
    taps: str
    found: str
    answer: str
    under: str
    choices: tuple[ChoiceLine, ...]
    lifting: str
    problem: str


def unjudged_page(day: dt.date, why: str) -> ArrivePage:
    """Say what is to be done first."""
    return ArrivePage(
        day=day_words(day), zone="", judge=f"{why} {NOT_JUDGED}".strip(),
        judge_href=link("/evening", day=day), form=None, taps=" ".join(TAPS), found="",
        answer="", under="", choices=(), lifting="", problem="",
    )  # fmt: skip


def taps_form(
    day: dt.date, asked: Mapping[str, str], wrong: Mapping[str, str], *, spots: tuple[str, ...]
) -> Form:
    """Make the taps; what was tapped stays tapped.

    Parameters
    ----------
    day : date
        The morning.
    asked : mapping of str to str
        By the names of the boxes.
    wrong : mapping of str to str
        Why boxes were refused.
    spots : tuple of str
        Where one may stand beside the car.
    """
    made = (
        Box(key="mist", label="Mist, as you see it", words=MIST_TAPS, asked=True),
        Box(key="air", label="Air at the leaf", words=AIR_TAPS, asked=True),
        Box(key="light", label="Sky", words=LIGHT_TAPS, asked=True),
        Box(key="ground", label="Ground, if you looked", words=GROUND_TAPS),
        Box(key="at", label="At", hint="On the wood's clock, such as 06:55."),
        Box(key="here", label="You stand at", words=(CAR, *spots), asked=True),
    )
    filled = tuple(
        replace(box, text=asked.get(box.key, ""), wrong=wrong.get(box.key, "")) for box in made
    )
    return Form(
        action="/arrive", button="Where to go", boxes=filled, hidden=(("day", day.isoformat()),)
    )


def arrive_page(
    morning: Morning,
    form: Form,
    *,
    arrival: Arrival | None = None,
    problem: str = "",
) -> ArrivePage:
    """Write the answer out.

    Parameters
    ----------
    morning : Morning
        As judged.
    form : Form
        The taps as sent.
    arrival : Arrival, optional
        What suits; none before the third tap.
    problem : str
        Why the taps cannot be answered.
    """
    zone_name = morning.zone_name
    sunrise = morning.almanac.sunrise_utc
    label = zone_name if sunrise is None else zone_label(sunrise, zone_name)
    choices = arrival.choices if arrival is not None else ()
    return ArrivePage(
        day=day_words(morning.day),
        zone=label,
        judge="",
        judge_href=link("/evening", day=morning.day),
        form=form,
        taps=" ".join(TAPS),
        found=_found_words(form) if arrival is not None else "",
        answer=_answer(choices, asked=arrival is not None),
        under=_sentence(choices[0].why) if choices else "",
        choices=tuple(_line(one, zone_name) for one in choices),
        lifting=lifting_words(arrival, zone_name) if arrival is not None else "",
        problem=problem,
    )


def usual_time(morning: Morning, now: dt.datetime) -> dt.time:
    """When one arrives: now on the day itself, else when the car is parked as judged."""
    first = morning.first
    if now.date() == morning.day or first is None:
        return now.time()
    utc = first.park_utc if first.park_utc is not None else first.quarter_utc[0]
    return to_local(utc, morning.zone_name).time()


def lifting_words(arrival: Arrival, zone_name: str) -> str:
    """Say by when mist like this has gone; nothing where none was seen."""
    if not arrival.lifting:
        return ""
    times = [clock(one, zone_name) for one in arrival.lifting]
    middle = times[min(1, len(times) - 1)]
    late = f" to {times[-1]}" if len(times) == LIFTING_TIMES else ", or much later"
    return (
        f"Mist like this at sunrise ({arrival.seen}) has lifted by about {middle}; "
        f"{times[0]}{late} in 8 of 10 cases."
    )


def _answer(choices: tuple[ArrivalChoice, ...], *, asked: bool) -> str:
    if not choices:
        return "No spot suits what you found." if asked else ""
    first = choices[0]
    if first.from_utc is None:
        return f"Nothing within a walk suits it well; {first.spot} comes nearest."
    return f"{first.spot}, {_walk(first)}."


def _line(one: ArrivalChoice, zone_name: str) -> ChoiceLine:
    return ChoiceLine(
        name=one.spot,
        href=link("/spot", name=one.spot),
        wood=one.wood,
        walk=_walk(one),
        window="" if one.from_utc is None else window(one.from_utc, one.until_utc, zone_name),
        why=_sentence(one.why),
    )


def _walk(one: ArrivalChoice) -> str:
    return "where you stand" if one.walk_min < 0.5 else f"{one.walk_min:.0f} min on foot"


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:].rstrip('.')}." if words else ""


def _found_words(form: Form) -> str:
    mist, air, sky = (form.box(key).text for key in TAPS)
    said = "no mist" if mist == "none" else f"mist {mist}"
    ground = form.box("ground").text
    return f"{said}, air {air}, sky {sky}{f', ground {ground}' if ground else ''}"
