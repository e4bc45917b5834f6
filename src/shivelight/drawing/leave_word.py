"""The leave-word card: one day's area for somebody at home, as plain text and on A5."""

from dataclasses import dataclass
from textwrap import wrap

import numpy as np

from shivelight.basis.instants import clock, day_words, zone_label
from shivelight.basis.places import Position
from shivelight.drawing.fonts import font_css
from shivelight.drawing.sheet import environment, pdf_from
from shivelight.drawing.sheet_view import sentence
from shivelight.outing.sheet import LeaveWordCard, ParkingPlace

TEXT_WIDTH = 72
NOT_SAID = "not said"
"""Stands on the card where nothing was typed, now or before."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CardView:
    """The card written out: times, and lines of a word and its sentences."""

    day: str
    zone: str
    back_by: str
    alarm: str
    clock_note: str
    facts: tuple[tuple[str, tuple[str, ...]], ...]
    what_to_do: tuple[str, ...]


def leave_word_text(card: LeaveWordCard) -> str:
    """Write the card as plain text, 72 letters wide, that can be sent or printed anywhere.

    Parameters
    ----------
    card : LeaveWordCard
        What it says.
    """
    view = _view(card)
    lines = [
        "LEAVE WORD",
        view.day,
        f"Every time in {view.zone}. {view.clock_note}".rstrip(),
        "",
        f"BACK BY {view.back_by}.  RAISE THE ALARM AT {view.alarm}.",
        "",
    ]
    for word, facts in view.facts:
        for number, fact in enumerate(facts):
            lines += _hung(f"{word}:" if number == 0 else "", fact)
    lines += ["", f"If nothing is heard by {view.alarm}:"]
    for number, step in enumerate(view.what_to_do, start=1):
        lines += wrap(f"{number}. {step}", TEXT_WIDTH, subsequent_indent="   ")
    lines += ["", "This card holds today's area only."]
    return "\n".join(lines) + "\n"


def leave_word_html(card: LeaveWordCard) -> str:
    """Write the card as one self-contained page that prints on A5.

    Parameters
    ----------
    card : LeaveWordCard
        What it says.
    """
    return (
        environment()
        .get_template("leave_word.html.j2")
        .render(card=_view(card), who=card.who, fonts=font_css())
    )


def leave_word_pdf(card: LeaveWordCard) -> bytes:
    """Write the card as a PDF of A5.

    Parameters
    ----------
    card : LeaveWordCard
        What it says.

    Raises
    ------
    MissingDataError
        If the Pango library is not on this machine.
    """
    return pdf_from(leave_word_html(card))


def position_words(position: Position) -> str:
    """Write a position in degrees to five places, about a metre: "53.00120° N, 5.10340° W"."""
    latitude_deg = position.latitude_deg
    longitude_deg = (position.longitude_deg + 180.0) % 360.0 - 180.0
    north = "N" if latitude_deg >= 0.0 else "S"
    east = "E" if longitude_deg >= 0.0 else "W"
    return f"{abs(latitude_deg):.5f}° {north}, {abs(longitude_deg):.5f}° {east}"


def _view(card: LeaveWordCard) -> CardView:
    facts: list[tuple[str, tuple[str, ...]]] = [("Who", (card.who,)), ("Car", (card.car,))]
    facts += [("Parked", _parked(place)) for place in card.parking]
    if card.set_out_utc is not None:
        facts.append(("Leaving", (_clock(card.set_out_utc, card),)))
    if card.route:
        facts.append(("Route", card.route))
    spots = [", then ".join(card.spots)] if card.spots else []
    if card.kept_off:
        spots.append(
            "one place of today is kept off this card"
            if card.kept_off == 1
            else f"{card.kept_off} places of today are kept off this card"
        )
    if spots:
        facts.append(("Spots", tuple(spots)))
    facts.append(("Ring first", (card.contact,)))
    if card.note:
        facts.append(("Note", (card.note,)))
    noon = np.datetime64(f"{card.day.isoformat()}T12:00", "us")
    return CardView(
        day=day_words(card.day),
        zone=zone_label(noon, card.zone_name),
        back_by=_clock(card.back_by_utc, card),
        alarm=_clock(card.alarm_utc, card),
        clock_note=sentence(card.clock_note),
        facts=tuple(facts),
        what_to_do=_what_to_do(card),
    )


def _clock(utc: np.datetime64, card: LeaveWordCard) -> str:
    return clock(utc, card.zone_name)


def _parked(place: ParkingPlace) -> tuple[str, ...]:
    where = f"{place.wood}, {place.words}" if place.words else place.wood
    lines = [where, position_words(place.position)]
    if place.grid_reference:
        lines.append(f"grid reference {place.grid_reference}")
    return tuple(lines)


def _what_to_do(card: LeaveWordCard) -> tuple[str, ...]:
    return (
        f"Ring {'whoever left it' if card.who == NOT_SAID else card.who}, twice, ten minutes "
        "apart; there may be no signal under the trees.",
        "Is the car home, or still parked?"
        if card.contact == NOT_SAID
        else f"Ring first: {card.contact}. Is the car home, or still parked?",
        f"{card.emergency} Read them this card: the car, the parking place, the route, the "
        "spots, the times. Stay by the telephone.",
    )


def _hung(word: str, fact: str) -> list[str]:
    return wrap(
        f"{word:<12}{fact}", TEXT_WIDTH, subsequent_indent=" " * 12, drop_whitespace=True
    ) or [""]
