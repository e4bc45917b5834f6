"""Where to stand, in words: the answer first, then how exact, what closes, and what it costs."""

import math

from shivelight.scene.framing import Framing
from shivelight.scene.standpoint import StandpointAnswer
from shivelight.scene.stands import Stand, length_words

_WAYS = ("left", "right", "forward", "back", "up", "down")


def answer_words(answer: StandpointAnswer, framing: Framing) -> str:
    """Say the answer: which way, how far, and what the smallest gap becomes.

    Parameters
    ----------
    answer : StandpointAnswer
        As found.
    framing : Framing
        What was wished, for the print.
    """
    if answer.answers:
        return stand_line(answer.answers[0], framing)
    said = answer.no_position
    if answer.compromise is not None:
        said += f" The best there is: {stand_line(answer.compromise, framing)}"
    return said


def stand_line(stand: Stand, framing: Framing) -> str:
    """Say one stand: "Go 65 cm to the right. Smallest gap 0.37° (Plumb, Lean): 5 mm ...".

    Parameters
    ----------
    stand : Stand
        Which.
    framing : Framing
        What was wished, for the print.
    """
    gap = ""
    if stand.pair is not None:
        left, right = stand.pair
        gap = f" Smallest gap {stand.smallest_gap_deg:.2f}° ({left}, {right})"
        wide = length_words(framing.print_width_m)
        if stand.smallest_gap_deg > 0.0 and math.isfinite(stand.smallest_gap_print_mm):
            gap += f": {stand.smallest_gap_print_mm:.0f} mm on a {wide} print."
        else:
            gap += ": closed."
    return f"{stand.go}{gap}"


def drift_words(stand: Stand) -> str:
    """Say how far one may stray before the first pair touches; nothing where none can.

    Parameters
    ----------
    stand : Stand
        Which.
    """
    if stand.touch is None or stand.smallest_gap_deg <= 0.0:
        return ""
    said = [
        f"{length_words(stand.touch.way_m(way))} {way}"
        for way in _WAYS
        if math.isfinite(stand.touch.way_m(way))
    ]
    if not said:
        return "Nothing touches within 2 m either way."
    return f"You may drift {', '.join(said)} before the first two touch."


def aim_words(stand: Stand) -> str:
    """Say the lens, its height and how the camera is turned.

    Parameters
    ----------
    stand : Stand
        Which.
    """
    turned = f"turned {abs(stand.yaw_deg):.1f}° to the {'right' if stand.yaw_deg > 0 else 'left'}"
    tilted = f"tilted {abs(stand.pitch_deg):.1f}° {'up' if stand.pitch_deg > 0 else 'down'}"
    said = [f"{stand.focal_length_mm:g} mm", f"lens {stand.height_m:.2f} m up"]
    if abs(stand.yaw_deg) >= 0.05:
        said.append(turned)
    if abs(stand.pitch_deg) >= 0.05:
        said.append(tilted)
    return ", ".join(said)


def exact_words(stand: Stand) -> tuple[str, ...]:
    """Say how exact one has to be: inches or strides, and how far one may stray.

    Parameters
    ----------
    stand : Stand
        Which.
    """
    return tuple(one for one in (stand.step, drift_words(stand)) if one)
