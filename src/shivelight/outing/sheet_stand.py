"""What the sheet says and draws of the ground at a spot: its stand, and the anchors of its mark.

Names of spots and woods that are kept off may be in the names of trunks; words are made quiet,
and a drawing that would show such a name is left out.
"""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, replace

from shivelight.outing.marks import MarkAnchors
from shivelight.outing.spots import Spot
from shivelight.scene.camera import Camera
from shivelight.scene.elements import Survey

Quieten = Callable[[str], str]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetStand:
    """Where to put the tripod at a spot, from its mark; no position on the map.

    Attributes
    ----------
    spot : str
        Whose.
    line : str
        "Go 65 cm to the right. Smallest gap 0.37° (Plumb, Lean): 5 mm on a 60 cm print."
    more : tuple of str
        How far one may drift, the gaps to watch, the lens, and where the stand came from.
    survey : Survey or None
        What stands there, in metres from the mark; None where no frame can be drawn.
    camera : Camera or None
        The lens on the stand.
    gaps : tuple of (str, str, float)
        Left and right of each pair and the air between them. [°]
    """

    spot: str
    line: str
    more: tuple[str, ...] = ()
    survey: Survey | None = None
    camera: Camera | None = None
    gaps: tuple[tuple[str, str, float], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetMark:
    """What the find-it-again strip is drawn from.

    Attributes
    ----------
    anchors : MarkAnchors
        Transits and distances as noted.
    lens_height_m, bearing_deg, focal_length_mm : float
        How the camera stands there. [m, °, mm]
    confirmed_on : date or None
        When the mark was last found right.
    survey : Survey or None
        For the true widths of things side by side.
    """

    anchors: MarkAnchors
    lens_height_m: float
    bearing_deg: float
    focal_length_mm: float
    confirmed_on: dt.date | None = None
    survey: Survey | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What is known of the ground at one spot."""

    anchors: MarkAnchors | None = None
    stand: SheetStand | None = None


def ground_of(
    anchors: tuple[MarkAnchors, ...], stands: tuple[SheetStand, ...]
) -> dict[str, Ground]:
    """Bring together what is known of the ground, by spot.

    Parameters
    ----------
    anchors : tuple of MarkAnchors
        What was noted on the marks of spots.
    stands : tuple of SheetStand
        Where to put the tripod.
    """
    noted = {one.spot: one for one in anchors}
    placed = {one.spot: one for one in stands}
    return {
        spot: Ground(anchors=noted.get(spot), stand=placed.get(spot)) for spot in noted | placed
    }


def quiet_stand(stand: SheetStand | None, quieten: Quieten) -> SheetStand | None:
    """Take quiet names out of a stand's words; its frame too where it would show one.

    Parameters
    ----------
    stand : SheetStand or None
        As worked out.
    quieten : callable
        Takes quiet names out of a sentence.
    """
    if stand is None:
        return None
    told = replace(
        stand, line=quieten(stand.line), more=tuple(quieten(line) for line in stand.more)
    )
    names = () if stand.survey is None else stand.survey.names
    if all(quieten(name) == name for name in names):
        return told
    return replace(told, survey=None, camera=None, gaps=())


def mark_shown(spot: Spot, ground: Ground, quieten: Quieten) -> SheetMark | None:
    """Give what the find-it-again strip of a spot is drawn from.

    Parameters
    ----------
    spot : Spot
        Whose mark.
    ground : Ground
        Its anchors and stand.
    quieten : callable
        Takes quiet names out of a sentence.

    Returns
    -------
    SheetMark or None
        None where no transit still stands, or where an anchor is named like what is kept off.
    """
    anchors = ground.anchors
    if anchors is None or not anchors.held_transits:
        return None
    if any(quieten(line) != line for line in anchors.lines):
        return None
    return SheetMark(
        anchors=anchors,
        lens_height_m=spot.lens_height_m,
        bearing_deg=spot.view_azimuth_deg,
        focal_length_mm=spot.focal_length_mm,
        confirmed_on=spot.mark.last_confirmed,
        survey=ground.stand.survey if ground.stand is not None else None,
    )
