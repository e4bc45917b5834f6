"""What is typed about a picture that is wished for, and how far one will go for it."""

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from shivelight.basis.errors import BadInputError
from shivelight.workbench import read
from shivelight.workbench.fields.field import Field

if TYPE_CHECKING:
    from shivelight.outing.surveys import KeptFraming
    from shivelight.scene.framing import Framing, Reach


def read_pair(text: str) -> tuple[str, str]:
    """Read two names: "Plumb/Lean"."""
    parts = [" ".join(one.split()) for one in text.split("/")]
    if len(parts) != 2 or not all(parts):
        raise BadInputError(f"The pair {text!r} is not read; write two names, like Plumb/Lean.")
    return parts[0], parts[1]


def write_pair(pair: tuple[str, str]) -> str:
    """Write two names as :func:`read_pair` reads them."""
    return f"{pair[0]}/{pair[1]}"


def length_m(text: str) -> float:
    """Read a length in metres, feet, paces."""
    from shivelight.intake.measures import read_length

    return read_length(text, what="length").length_m


def span_m(text: str) -> tuple[float, float]:
    """Read heights: "0.6-1.6", "0.6 to 1.6 m", or one height."""
    return read.span(text, what="heights of the lens", unit="m")


def _subject_place(text: str) -> tuple[float, float | None, float]:
    """Read where the subject should stand: "0.2 left", in widths of the frame from the middle."""
    from shivelight.intake.measures import read_angle

    return read_angle(text, what="place of the subject").angle_deg, None, 0.08


def _write_place(place: tuple[float, float | None, float]) -> str:
    side = "right" if place[0] >= 0.0 else "left"
    return f"{abs(place[0]):.10g} {side}"


WISHED = (
    Field(
        flag="--part",
        key="parts",
        metavar="A/B",
        many=True,
        help="Two trunks that should part; every two neighbours unless said. Again for more.",
        read=read_pair,
        label="Should part",
        hint="Two names a line: Plumb/Lean. Left empty: every two neighbours.",
        write=write_pair,
    ),
    Field(
        flag="--keep",
        key="keeps",
        metavar="A/B",
        many=True,
        help="Two whose overlap should stay. Again for more.",
        read=read_pair,
        label="Should stay overlapped",
        hint="Two names a line: Crook/Stub.",
        write=write_pair,
    ),
    Field(
        flag="--whole",
        key="whole",
        metavar="NAME",
        many=True,
        help="What the border should not cut. Again for more.",
        label="Should not be cut by the border",
        hint="One name a line.",
    ),
    Field(
        flag="--subject-at",
        key="subject_place",
        metavar="PLACE",
        help="Where the subject should stand, in widths from the middle: '0.2 left'.",
        read=_subject_place,
        label="Place of the subject",
        hint="In widths of the frame from its middle: 0.2 left.",
        write=_write_place,
    ),
    Field(
        flag="--room-above",
        key="room_above_frac",
        metavar="SHARE",
        help="Share of the frame's height that is free above the subject, 0 to 0.9.",
        read=read.reader("room above"),
        label="Room above the subject",
        hint="Share of the frame's height, 0 to 0.9.",
    ),
    Field(
        flag="--least",
        key="least_gap_deg",
        metavar="DEG",
        help="The least gap that does not read as a kiss; 0.3 degrees unless said.",
        read=read.reader("least gap", "°"),
        label="Least gap",
        unit="°",
        hint="0.3 unless said.",
    ),
    Field(
        flag="--print",
        key="print_width_cm",
        metavar="CM",
        help="How wide the print is to be, in cm; 60 unless said.",
        read=read.reader("width of the print", "cm"),
        label="Width of the print",
        unit="cm",
        hint="60 unless said.",
    ),
    Field(
        flag="--lens",
        key="focal_lengths_mm",
        metavar="MM",
        many=True,
        help="A focal length to try for the crop; it changes no gap. Again for more.",
        read=read.reader("focal length", "mm"),
        label="Lenses to try",
        unit="mm",
        hint="One a line. A lens crops; it changes no gap.",
    ),
)
REACHED = (
    Field(
        flag="--reach",
        key="reach_m",
        metavar="LENGTH",
        help="How far to either side: 1.2, '4 ft'; 0.8 m unless said.",
        read=length_m,
        label="To either side",
        hint="1.2, or 4 ft; 0.8 m unless said.",
    ),
    Field(
        flag="--left",
        key="left_m",
        metavar="LENGTH",
        help="How far to the left only.",
        read=length_m,
        label="To the left",
    ),
    Field(
        flag="--right",
        key="right_m",
        metavar="LENGTH",
        help="How far to the right only.",
        read=length_m,
        label="To the right",
    ),
    Field(
        flag="--forward",
        key="forward_m",
        metavar="LENGTH",
        help="How far forward; not at all unless said.",
        read=length_m,
        label="Forward",
    ),
    Field(
        flag="--back",
        key="back_m",
        metavar="LENGTH",
        help="How far back; not at all unless said.",
        read=length_m,
        label="Back",
    ),
    Field(
        flag="--heights",
        key="heights_m",
        metavar="M-M",
        help="Heights of the lens to try: 0.6-1.6; the spot's own unless said.",
        read=span_m,
        label="Heights of the lens",
        unit="m",
        hint="0.6-1.6; the spot's own unless said.",
        write=lambda span: f"{span[0]:.10g}-{span[1]:.10g}",
    ),
    Field(
        flag="--tilt",
        key="tilt_deg",
        metavar="DEG",
        help="How far the camera may be tilted up and down; level unless said.",
        read=read.reader("tilt", "°"),
        label="Tilt up and down",
        unit="°",
    ),
    Field(
        flag="--turn",
        key="turn_deg",
        metavar="DEG",
        help="How far the camera may be turned to either side; 10 degrees unless said.",
        read=read.reader("turn", "°"),
        label="Turn to either side",
        unit="°",
    ),
)


def wished(said: dict[str, Any], old: "KeptFraming") -> "tuple[Framing, Reach]":
    """Lay what was typed over what is kept.

    Parameters
    ----------
    said : dict
        Values by the keys of ``WISHED`` and ``REACHED``.
    old : KeptFraming
        As kept.
    """
    framing = {key: said[key] for key in _keys(WISHED) if key in said}
    reach = {key: said[key] for key in _keys(REACHED) if key in said}
    if "print_width_cm" in framing:
        framing["print_width_m"] = framing.pop("print_width_cm") / 100.0
    both_m = reach.pop("reach_m", None)
    if both_m is not None:
        reach = {"left_m": both_m, "right_m": both_m, **reach}
    if "heights_m" in reach:
        low_m, high_m = reach.pop("heights_m")
        reach |= {"low_m": low_m, "high_m": high_m}
    return replace(old.framing, **framing), replace(old.reach, **reach)


def _keys(fields: tuple[Field, ...]) -> tuple[str, ...]:
    return tuple(one.key for one in fields)
