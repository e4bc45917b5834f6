"""Sun and Moon of a day in words."""

from shivelight.basis.instants import day_words, zone_label
from shivelight.cli.say.words import blocks, lines, para
from shivelight.drawing.tables import table
from shivelight.drawing.words import clock_or
from shivelight.workbench.results import SunDay


def sun_day(one: SunDay, width: int) -> str:
    """Say when Sun and Moon rise and set, in the order of the day."""
    place = one.position
    anchors = (one.sunrise_utc, one.noon_utc, one.sunset_utc)
    shown = next((utc for utc in anchors if utc is not None), None)
    label = f" ({zone_label(shown, one.zone_name)})" if shown is not None else ""
    head = (
        f"{day_words(one.day)} at {place.latitude_deg:.4f}, {place.longitude_deg:.4f}, "
        f"clock of {one.zone_name}{label}, over a level horizon."
    )
    moon = (
        f"The Moon is lit by {one.moon_lit_frac:.2f} of its disc; it rises "
        f"{clock_or(one.moonrise_utc, one.zone_name, 'not at all')} and sets "
        f"{clock_or(one.moonset_utc, one.zone_name, 'not at all')} on this day."
    )
    return blocks(
        para(head, width),
        table(_rows(one), ("", "clock", "bearing, true", "height"), width=width),
        lines(para(moon, width), para(one.note, width) if one.note else ""),
    )


def _rows(one: SunDay) -> list[tuple[str, str, str, str]]:
    events = (
        ("astronomical dawn", one.astronomical_dawn_utc, None, None),
        ("nautical dawn", one.nautical_dawn_utc, None, None),
        ("civil dawn", one.civil_dawn_utc, None, None),
        ("sunrise", one.sunrise_utc, one.sunrise_azimuth_deg, None),
        ("noon", one.noon_utc, None, one.noon_altitude_deg),
        ("sunset", one.sunset_utc, one.sunset_azimuth_deg, None),
        ("civil dusk", one.civil_dusk_utc, None, None),
        ("nautical dusk", one.nautical_dusk_utc, None, None),
        ("astronomical dusk", one.astronomical_dusk_utc, None, None),
    )
    return [
        (
            name,
            clock_or(utc, one.zone_name),
            "" if azimuth_deg is None else f"{azimuth_deg:.0f}°",
            "" if altitude_deg is None else f"{altitude_deg:.1f}°",
        )
        for name, utc, azimuth_deg, altitude_deg in events
    ]
