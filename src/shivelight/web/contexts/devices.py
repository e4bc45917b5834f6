"""Devices as their pages say them: who was let in, and how another one comes in."""

import datetime as dt
from dataclasses import dataclass, replace

from shivelight.drawing.words import day_and_clock
from shivelight.outing.devices import Device
from shivelight.web.boxes import Box
from shivelight.web.forms import Form
from shivelight.web.pairing import Pairing, device_name, qr_svg, shown

HOW = "shivelight open --home-network"


@dataclass(frozen=True, slots=True, kw_only=True)
class DeviceLine:
    """One device that was let in."""

    number: int
    name: str
    paired: str
    seen: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DevicesPage:
    """Who may come in, and how.

    Attributes
    ----------
    devices : tuple of DeviceLine
        First paired first.
    code : str
        The code that is good now, in two halves; empty where no device may come in.
    minutes : str
        How long it is good yet.
    address : str
        What is typed on the device.
    qr : str
        SVG of the address with the code.
    how : str
        The command that lets devices in, where none may now.
    """

    devices: tuple[DeviceLine, ...]
    code: str
    minutes: str
    address: str
    qr: str
    how: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PairPage:
    """The page that a device sees before it is let in.

    Attributes
    ----------
    form : Form or None
        Code and name; None where there is nothing to pair.
    words : str
        Why there is nothing to pair; empty otherwise.
    """

    form: Form | None
    words: str


def devices_page(
    devices: tuple[Device, ...], pairing: Pairing | None, zone_name: str
) -> DevicesPage:
    """Write the devices out, with the code where one is good."""
    lines = tuple(
        DeviceLine(
            number=one.id,
            name=one.name,
            paired=day_and_clock(one.paired_utc, zone_name),
            seen=day_and_clock(one.last_seen_utc, zone_name),
        )
        for one in devices
    )
    if pairing is None:
        return DevicesPage(devices=lines, code="", minutes="", address="", qr="", how=HOW)
    code, left = pairing.code, pairing.minutes_left
    return DevicesPage(
        devices=lines,
        code=shown(code),
        minutes="under a minute" if left < 1 else "1 minute" if left == 1 else f"{left} minutes",
        address=f"{pairing.address}/pair",
        qr=qr_svg(pairing.link, title="Address and code for the phone's camera"),
        how="",
    )


def pair_form(agent: str, today: dt.date, code: str) -> Form:
    """Make the form that a device fills in.

    Parameters
    ----------
    agent : str
        What its browser says of itself, for a name to offer.
    today : date
        For the same.
    code : str
        As the address carried it; empty when typed by hand.
    """
    boxes = (
        Box(
            key="code", label="Code", text=code, asked=True,
            hint="Eight letters and figures, from the screen of the machine that shivelight runs "
            "on. Small letters and gaps do not matter.",
        ),
        Box(
            key="name", label="Name of this device", text=device_name(agent, today),
            hint="By which you know it among others.",
        ),
    )  # fmt: skip
    return Form(action="/pair", button="Let this device in", boxes=boxes)


def refilled(form: Form, typed: dict[str, str], wrong: dict[str, str]) -> Form:
    """Show a form as it was sent, with its refusals."""
    boxes = tuple(
        replace(box, text=typed.get(box.key, ""), wrong=wrong.get(box.key, ""))
        for box in form.boxes
    )
    return replace(form, boxes=boxes, wrong=wrong.get("", ""))
