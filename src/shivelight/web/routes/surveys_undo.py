"""How a change to a survey is taken back: the survey is put back whole, as it was."""

from fastapi import Request

from shivelight.outing.surveys import KeptSurvey
from shivelight.web.house import Undo
from shivelight.web.routes.undo import undo_by, unless_changed
from shivelight.web.show import link


def put_back(request: Request, before: KeptSurvey, after: KeptSurvey) -> Undo | None:
    """Write the form that makes a survey again what it was; None where nothing changed."""
    if before == after:
        return None
    spot = before.spot
    back = unless_changed(
        lambda bench: bench.kept_survey(spot),
        after,
        lambda bench: bench.keep_survey(before),
        refusal=f"The survey of {spot} was changed again since; nothing was taken back.",
        words=f"The survey of {spot} is as it was.",
    )
    return undo_by(request, back, link("/survey", spot=spot))
