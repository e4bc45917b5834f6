"""The stand and the find-it-again strip on the sheet, for a page, a phone and a printed face."""

import re

from shivelight.drawing import faces as face
from shivelight.drawing.figure import Figure
from shivelight.drawing.find_again import MarkSetting, find_again_figure, find_again_svg
from shivelight.drawing.predicted_words import frame_rows, frame_sentence
from shivelight.outing.sheet_stand import SheetMark, SheetStand

_TALL = re.compile(r'height="([\d.]+)"')


def stand_figure(stand: SheetStand | None) -> Figure | None:
    """Draw the frame from a stand; None where none can be drawn.

    Parameters
    ----------
    stand : SheetStand or None
        Where to put the tripod.
    """
    if stand is None or stand.survey is None or stand.camera is None:
        return None
    return Figure(
        page=_frame(stand, "page"),
        phone=_frame(stand, "narrow"),
        sentence=frame_sentence(stand.gaps),
        headers=("pair", "gap from the stand"),
        rows=frame_rows(stand.gaps),
    )


def mark_figure(mark: SheetMark | None) -> Figure | None:
    """Draw the find-it-again strip; None where there is no transit to draw.

    Parameters
    ----------
    mark : SheetMark or None
        What finds the place again.
    """
    if mark is None:
        return None
    return find_again_figure(mark.anchors, _setting(mark), survey=mark.survey)


def stand_lines(stand: SheetStand | None) -> tuple[face.Block, ...]:
    """Set where to put the tripod on a printed face.

    Parameters
    ----------
    stand : SheetStand or None
        Where.
    """
    if stand is None:
        return ()
    more = face.fine_lines(" ".join(stand.more)) if stand.more else ()
    return (face.head("Stand, from the mark"), face.bullet(stand.line), *more)


def stand_drawing(stand: SheetStand | None) -> tuple[face.Block, ...]:
    """Set the frame from a stand on a printed face.

    Parameters
    ----------
    stand : SheetStand or None
        Where.
    """
    if stand is None or stand.survey is None or stand.camera is None:
        return ()
    return (face.head("The frame from the stand"), _block(_frame(stand, "print")))


def mark_drawing(mark: SheetMark | None) -> tuple[face.Block, ...]:
    """Set the find-it-again strip on a printed face.

    Parameters
    ----------
    mark : SheetMark or None
        What finds the place again.
    """
    if mark is None:
        return ()
    svg = find_again_svg(mark.anchors, _setting(mark), survey=mark.survey, style="print")
    return (face.head("Find it again, as drawn"), _block(svg))


def _frame(stand: SheetStand, style: str) -> str:
    from shivelight.drawing.predicted_frame import predicted_frame_svg  # noqa: PLC0415  Numba

    assert stand.survey is not None
    assert stand.camera is not None
    return predicted_frame_svg(stand.survey, stand.camera, gaps=stand.gaps, style=style)


def _setting(mark: SheetMark) -> MarkSetting:
    return MarkSetting(
        lens_height_m=mark.lens_height_m,
        bearing_deg=mark.bearing_deg,
        focal_length_mm=mark.focal_length_mm,
        confirmed_on=mark.confirmed_on,
    )


def _block(svg: str) -> face.Block:
    tall = _TALL.search(svg)
    return face.figure(svg, height_px=float(tall[1]) if tall else 0.0)
