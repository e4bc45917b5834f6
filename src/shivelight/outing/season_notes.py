"""What a wood's season did on a day, noted by hand year after year."""

import datetime as dt
from dataclasses import dataclass

from shivelight.basis.errors import BadInputError
from shivelight.outing.wishes import LEAF_STAGES


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonNote:
    """One dated note.

    Attributes
    ----------
    day : date
        When it was seen.
    stage : str
        One of ``LEAF_STAGES``; empty when the note is not about leaves.
    words : str
        Anything else ("first bells", "bracken down"); may be empty when there is a stage.
    """

    day: dt.date
    stage: str = ""
    words: str = ""

    def __post_init__(self) -> None:
        if self.stage and self.stage not in LEAF_STAGES:
            raise BadInputError(
                f"The leaf stage is one of: {', '.join(LEAF_STAGES)}; not {self.stage!r}."
            )
        if not self.stage and not self.words.strip():
            raise BadInputError("A season note needs a leaf stage or some words.")
