"""One spot as its page says it: its light, its year, its past, its mark and its pictures."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from shivelight.drawing.figure import Figure
from shivelight.drawing.words import date_words
from shivelight.outing.history import SpotHistory
from shivelight.outing.pictures import Picture
from shivelight.outing.season_notes import SeasonNote
from shivelight.outing.spots import Spot, SpotState
from shivelight.outing.woods import Wood
from shivelight.web.contexts.spot_light import LightPart, YearPart, light_part, year_part
from shivelight.web.contexts.spot_record import Record, record
from shivelight.web.contexts.spots import wishes_words
from shivelight.web.show import link
from shivelight.workbench.figures import SpotYear
from shivelight.workbench.results import LightDay

STATE_WORDS = {
    SpotState.WAITING: "It waits again",
    SpotState.MADE: "The picture is made",
    SpotState.LOST: "The spot is lost",
}
STATE_NOTES = {
    SpotState.WAITING: "waiting",
    SpotState.MADE: "made; it is still judged",
    SpotState.LOST: "lost: kept with its history, no longer judged",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """One picture: its number, addresses of a small and a large copy, and what is known of it."""

    number: int
    small: str
    large: str
    alt: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotPage:
    """One spot.

    Attributes
    ----------
    name, wood, wood_href : str
        Which, and where.
    margin : tuple of str
        Class and state.
    subject, wants : str
        What stands there, and what it waits for.
    has_wishes : bool
        Whether it waits for anything.
    light : LightPart
        One day.
    year : YearPart
        The year.
    record : Record
        What was said, found and visited.
    mark : tuple of str
        How to find it again.
    confirmed : str
        When somebody last stood there.
    pictures : tuple of Shown
        In the order in which they were kept.
    facts : tuple of (str, str)
        The rest, each with its name.
    states : tuple of (state, words)
        What it can become.
    edit, wishes, skyline : str
        Addresses of the pages that change it.
    """

    name: str
    wood: str
    wood_href: str
    margin: tuple[str, ...]
    subject: str
    wants: str
    has_wishes: bool
    light: LightPart
    year: YearPart
    record: Record
    mark: tuple[str, ...]
    confirmed: str
    pictures: tuple[Shown, ...]
    facts: tuple[tuple[str, str], ...]
    states: tuple[tuple[str, str], ...]
    edit: str
    wishes: str
    skyline: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotFound:
    """What the workbench says of a spot, for its page."""

    spot: Spot
    wood: Wood
    light: LightDay
    roll: Figure
    year: SpotYear
    history: SpotHistory
    pictures: Sequence[Picture]
    notes: Sequence[SeasonNote]
    today: dt.date


def spot_page(one: SpotFound, *, day: dt.date, year: int) -> SpotPage:
    """Write a spot's page for a day and a year."""
    spot = one.spot
    return SpotPage(
        name=spot.name,
        wood=spot.wood,
        wood_href=link("/wood", name=spot.wood),
        margin=(f"class: {spot.privacy}", STATE_NOTES[spot.state]),
        subject=spot.subject,
        wants=wishes_words(spot),
        has_wishes=bool(spot.wishes),
        light=light_part(one.light, one.roll, day=day, year=year),
        year=year_part(one.year, spot.name, day=day, year=year, noted=one.notes),
        record=record(one.history),
        mark=spot.mark.transits,
        confirmed=_confirmed(spot, one.today),
        pictures=tuple(shown(picture, spot.name) for picture in one.pictures),
        facts=_facts(spot),
        states=tuple(
            (state.value, words) for state, words in STATE_WORDS.items() if state is not spot.state
        ),
        edit=link("/spot/edit", name=spot.name),
        wishes=link("/spot/wishes", name=spot.name),
        skyline=link("/spot/skyline", name=spot.name),
    )


def _confirmed(spot: Spot, today: dt.date) -> str:
    last = spot.mark.last_confirmed
    if last is None:
        return "Never confirmed since it was written down."
    days = (today - last).days
    ago = "today" if days == 0 else "yesterday" if days == 1 else f"{days} days ago"
    return f"Last confirmed {date_words(last)}, {ago}."


def shown(picture: Picture, spot: str) -> Shown:
    """Write one picture of a spot."""
    taken = "" if picture.taken is None else f"taken {date_words(picture.taken.date())}"
    clock = "" if picture.taken is None else f"at {picture.taken:%H:%M} on the camera's clock"
    lens = "" if picture.focal_length_mm is None else f"{picture.focal_length_mm:g} mm"
    said = ", ".join(part for part in (picture.caption, f"{taken} {clock}".strip(), lens) if part)
    return Shown(
        number=picture.id,
        small=link("/picture", number=picture.id, side=320),
        large=link("/picture", number=picture.id, side=1600),
        alt=picture.caption or f"Picture {picture.id} of {spot}",
        words=said or "nothing known of when it was taken",
    )


def _facts(spot: Spot) -> tuple[tuple[str, str], ...]:
    place = spot.position
    height = "" if place.ground_height_m is None else f", ground {place.ground_height_m:g} m up"
    subject = spot.subject_position
    facts = (
        (
            "stands at",
            f"{place.latitude_deg:.6f}, {place.longitude_deg:.6f}{height}; a fix under trees is "
            "metres out",
        ),
        (
            "looks",
            f"{spot.view_azimuth_deg:g}° true with {spot.focal_length_mm:g} mm on "
            f"{spot.sensor_width_mm:g} mm of sensor, lens {spot.lens_height_m:g} m up",
        ),
        (
            "subject at",
            "" if subject is None else f"{subject.latitude_deg:.6f}, {subject.longitude_deg:.6f}",
        ),
        ("sky over it", "crowns stand before the sun" if spot.under_canopy else "open"),
        (
            "walk",
            "not timed yet" if spot.walk_min is None else f"{spot.walk_min:g} min from the car",
        ),
        ("if not", spot.if_not),
        ("hazards", ", ".join(spot.hazards)),
        ("note", spot.note),
    )
    return tuple((name, words) for name, words in facts if words)
