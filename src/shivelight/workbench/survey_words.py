"""An element of a survey in the words that it can be typed with again, for the boxes of a page."""

import re

from shivelight.intake.elements_table import row_of
from shivelight.outing.surveys import KeptSurvey, element_of


def typed_again(kept: KeptSurvey, name: str) -> dict[str, str]:
    """Write an element as it could be typed.

    Parameters
    ----------
    kept : KeptSurvey
        The survey.
    name : str
        Of the element.

    Returns
    -------
    dict of str to str
        By the keys of ``workbench.fields.elements``, besides its kind and its name.

    Raises
    ------
    NotFoundError
        If the survey has none of that name.
    """
    one = element_of(kept.survey, name)
    words = {key.replace(" ", "_"): _short(text) for key, text in row_of(one).items() if text}
    if "corners" in words:
        words["corners"] = "\n".join(part.strip() for part in words["corners"].split("|"))
    return {"name": one.name, **words}


def _short(text: str) -> str:
    """Write numbers with three decimals at most, as nobody measures finer."""
    return re.sub(r"-?\d+\.\d{4,}", lambda found: f"{float(found[0]):.3f}", text)
