"""A kept picture to mark trunks on: a part of it as shown, and what its marks measure."""

import io
from collections.abc import Sequence
from dataclasses import dataclass

from shivelight.basis.errors import BadInputError, require_range
from shivelight.intake.pixels import read_pixels
from shivelight.outing.pictures import Picture
from shivelight.outing.surveys import KeptSurvey, with_element
from shivelight.scene.elements import Trunk
from shivelight.workbench.bench import Workbench
from shivelight.workbench.survey_pairs import PairSurvey, PhotoSurvey
from shivelight.workbench.survey_photos import SurveyPhotosDesk

WIDEST_PX = 1_200
"""No part is shown wider. [px]"""
QUALITY = 88
WHOLE_PIXELS = 60_000_000
"""Larger pictures are shown and measured made smaller."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """An upright rectangle of a picture, in pixels of the whole upright picture.

    Attributes
    ----------
    left_px, top_px, width_px, height_px : float
        Where it begins and how large it is.
    """

    left_px: float
    top_px: float
    width_px: float
    height_px: float


def file_of(bench: Workbench, number: int) -> tuple[Picture, bytes]:
    """Give a kept picture and its untouched file.

    Parameters
    ----------
    bench : Workbench
        With the book open.
    number : int
        Which picture.
    """
    picture = bench.picture(number)
    return picture, bench._original(picture)


def part_jpeg(data: bytes, part: Part, *, width_px: int) -> bytes:
    """Show a part of a picture, upright and without any fact of its file.

    Parameters
    ----------
    data : bytes
        The whole file.
    part : Part
        What to show.
    width_px : int
        How wide it is shown. [px]

    Raises
    ------
    BadInputError
        If the part lies beside the picture.
    """
    from PIL import Image  # noqa: PLC0415  wanted alone

    require_range("width shown", width_px, 16, WIDEST_PX, "px")
    whole = read_pixels(data, most=_pixels_for(data, part, width_px))
    rows, columns = whole.rgb.shape[:2]
    scale = columns / whole.facts.width_px
    left, top = max(0, round(part.left_px * scale)), max(0, round(part.top_px * scale))
    right = min(columns, round((part.left_px + part.width_px) * scale))
    bottom = min(rows, round((part.top_px + part.height_px) * scale))
    if right - left < 2 or bottom - top < 2:
        raise BadInputError("That part lies beside the picture; show the whole of it.")
    cut = Image.fromarray(whole.rgb[top:bottom, left:right])
    height_px = max(1, round(width_px * part.height_px / part.width_px))
    held = io.BytesIO()
    shown = cut.resize((width_px, height_px), Image.Resampling.LANCZOS, reducing_gap=2.0)
    shown.save(held, format="JPEG", quality=QUALITY)
    return held.getvalue()


def photos_of(bench: Workbench) -> SurveyPhotosDesk:
    """Give the desk of photographs over an open bench; apart, since it loads OpenCV."""
    return SurveyPhotosDesk(bench.book, bench.settings, bench.now_utc)


def take_trunks(
    bench: Workbench, spot: str, found: PhotoSurvey | PairSurvey, *, how: str
) -> tuple[KeptSurvey, KeptSurvey]:
    """Put measured trunks into a survey; gives the survey before and after.

    Parameters
    ----------
    bench : Workbench
        With the book open.
    spot : str
        Whose survey.
    found : PhotoSurvey or PairSurvey
        What was measured.
    how : str
        How, in words.

    Raises
    ------
    BadInputError
        As :func:`with_trunks`, or with why nothing could be measured.
    """
    if not found.trunks:
        raise BadInputError(" ".join(why for _, why in found.not_measured))
    before = bench.kept_survey(spot)
    bench.keep_survey(with_trunks(before, [one.trunk for one in found.trunks], how=how))
    return before, bench.kept_survey(spot)


def with_trunks(kept: KeptSurvey, trunks: Sequence[Trunk], *, how: str) -> KeptSurvey:
    """Put measured trunks into a survey; one of the same name is measured anew.

    Parameters
    ----------
    kept : KeptSurvey
        As it is.
    trunks : sequence of Trunk
        As measured.
    how : str
        How, in words.

    Raises
    ------
    BadInputError
        If a name belongs to something else, or trunks would stand in each other.
    """
    survey, told = kept.survey, dict(kept.how)
    for one in trunks:
        old = next((name for name in survey.names if name.casefold() == one.name.casefold()), "")
        survey = with_element(survey, one, instead_of=old)
        told.pop(old, None)
        told[one.name] = how
    return KeptSurvey(spot=kept.spot, survey=survey, how=told)


def _pixels_for(data: bytes, part: Part, width_px: int) -> int:
    """Pixels that the whole picture needs for a part to be shown at a width."""
    from shivelight.intake.photo import read_photo  # noqa: PLC0415  loads Pillow

    facts = read_photo(data)
    scale = min(1.0, 1.5 * width_px / max(part.width_px, 1.0))
    wanted = facts.width_px * scale * facts.height_px * scale
    return int(min(max(wanted, 250_000), WHOLE_PIXELS))
