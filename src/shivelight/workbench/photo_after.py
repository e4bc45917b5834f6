"""How far a final photograph was taken from where it was meant to be."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from shivelight.scene.offset import Offset
from shivelight.scene.photo_marks import TrunkMark
from shivelight.workbench.bench import Workbench
from shivelight.workbench.picture_marks import photos_of
from shivelight.workbench.survey_given import PhotoGiven


@dataclass(frozen=True, slots=True, kw_only=True)
class After:
    """How far from the wished place a photograph was taken.

    Attributes
    ----------
    spot : str
        Where.
    stand_utc : datetime64 or None
        When the wished stand was taken; None where the mark is the wished place.
    wished_right_m, wished_forward_m : float
        The wished place from the mark. [m]
    told_by, not_surveyed : tuple of str
        Marked trunks that told it, and those that the survey does not hold.
    offset : Offset
        From the wished place.
    words : str
        The same in a sentence.
    """

    spot: str
    stand_utc: np.datetime64 | None
    wished_right_m: float
    wished_forward_m: float
    told_by: tuple[str, ...]
    not_surveyed: tuple[str, ...]
    offset: Offset
    words: str


def photo_after(
    bench: Workbench, spot: str, data: bytes, *, marks: Sequence[TrunkMark], given: PhotoGiven
) -> After:
    """Compare a final photograph with the stand taken last, or with the mark.

    Parameters
    ----------
    bench : Workbench
        With the book open.
    spot : str
        Where.
    data : bytes
        The photograph's file.
    marks : sequence of TrunkMark
        Trunks marked on it; those that were surveyed tell.
    given : PhotoGiven
        What the file does not tell.

    Raises
    ------
    UnreadableFileError, OutOfRangeError, MissingDataError, BadInputError
        As :meth:`shivelight.workbench.survey_photos.SurveyPhotosDesk.how_far_off_by_elements`.
    """
    page, trunks = bench.stand(spot), bench.kept_survey(spot).survey.trunks
    known = {one.name.casefold(): one.name for one in trunks}
    used = [
        replace(one, name=known[one.name.casefold()])
        for one in marks
        if one.name.casefold() in known
    ]
    last = page.stands[-1] if page.stands else None
    wished = (0.0, 0.0) if last is None else (last.x_m, last.y_m)
    offset = photos_of(bench).how_far_off_by_elements(
        data, used, trunks=trunks, wished_m=wished, given=given
    )
    return After(
        spot=page.spot,
        stand_utc=None if last is None else last.kept_utc,
        wished_right_m=wished[0],
        wished_forward_m=wished[1],
        told_by=tuple(one.name for one in used),
        not_surveyed=tuple(one.name for one in marks if one.name.casefold() not in known),
        offset=offset,
        words=offset.words,
    )
