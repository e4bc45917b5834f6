"""A predicted frame as the page shows it, and as it comes again while the lens is moved."""

from dataclasses import dataclass

from shivelight.outing.marks import place_words
from shivelight.scene.stands import length_words
from shivelight.web.show import link
from shivelight.workbench.stand_view import Aim, FrameView

STEPS_M = (("10 cm left", -0.1), ("1 cm left", -0.01), ("1 cm right", 0.01), ("10 cm right", 0.1))


@dataclass(frozen=True, slots=True, kw_only=True)
class FrameShown:
    """One frame.

    Attributes
    ----------
    page, phone : str
        SVG.
    title : str
        "At your mark", "65 cm right".
    reading : str
        The smallest gap there, and what is closed.
    x, y, z, focal, off, pitch : str
        The place and the aim, as they are sent along. [m, mm, °]
    steps : tuple of (str, str)
        Words and the address of the page with the lens moved a step.
    """

    page: str
    phone: str
    title: str
    reading: str
    x: str
    y: str
    z: str
    focal: str
    off: str
    pitch: str
    steps: tuple[tuple[str, str], ...] = ()


def frame_shown(
    spot: str, view: FrameView, aim: Aim, *, print_width_m: float, number: int = 0
) -> FrameShown:
    """Write one frame.

    Parameters
    ----------
    spot : str
        Whose.
    view : FrameView
        As drawn.
    aim : Aim
        How the camera is turned against the subject.
    print_width_m : float
        Width of the wished print. [m]
    number : int
        Of the stand whose page it is on.
    """
    camera = view.camera
    said = {
        "y": f"{camera.y_m:.3f}",
        "z": f"{camera.z_m:.3f}",
        "focal": f"{camera.focal_length_mm:g}",
        "off": f"{aim.off_deg:.2f}",
        "pitch": f"{aim.pitch_deg:.2f}",
    }
    where = {"spot": spot, "number": number or ""}
    return FrameShown(
        page=view.page,
        phone=view.phone,
        title=place_title(camera.x_m, camera.y_m),
        reading=reading(view, print_width_m),
        x=f"{camera.x_m:.3f}",
        steps=tuple(
            (words, link("/stand", **where, x=f"{camera.x_m + step:.3f}", **said) + "#h-seen")
            for words, step in STEPS_M
        ),
        **said,
    )


def place_title(x_m: float, y_m: float) -> str:
    """Write a place: "At your mark", "65 cm right and 10 cm forward"."""
    said = place_words(round(x_m, 3), round(y_m, 3))
    return said[:1].upper() + said[1:] if said else "At your mark"


def reading(view: FrameView, print_width_m: float) -> str:
    """Write the smallest gap of a frame and what is closed, in one line."""
    camera, smallest = view.camera, view.smallest
    place = place_title(camera.x_m, camera.y_m)
    if smallest is None:
        return f"{place}: nothing to tell apart."
    closed = [one for one in view.gaps if one.gap_deg < 0.0]
    if closed:
        told = "; ".join(one.words() for one in closed)
        return f"{place}: closed. {told}."
    mm = smallest.gap_deg * 0.017453292519943295 * camera.focal_in_widths * print_width_m * 1000.0
    wide = length_words(print_width_m)
    return (
        f"{place}: the smallest gap is {smallest.gap_deg:.2f}°, {smallest.left} and "
        f"{smallest.right}, about {mm:.0f} mm on a {wide} print."
    )
