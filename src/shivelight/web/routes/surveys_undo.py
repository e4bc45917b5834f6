"""How a change to a survey is taken back: the survey is put back whole, as it was."""

from fastapi import Request

from shivelight.basis.errors import BadInputError
from shivelight.outing.surveys import KeptSurvey
from shivelight.web.house import Undo
from shivelight.web.routes.woods_undo import stash_of
from shivelight.web.show import link
from shivelight.workbench.bench import Workbench


def put_back(request: Request, before: KeptSurvey, after: KeptSurvey) -> Undo | None:
    """Write the form that makes a survey again what it was; None where nothing changed."""
    if before == after:
        return None

    def back(bench: Workbench) -> str:
        if bench.kept_survey(before.spot) != after:
            raise BadInputError(
                f"The survey of {before.spot} was changed again since; nothing was taken back."
            )
        bench.keep_survey(before)
        return f"The survey of {before.spot} is as it was."

    return stash_of(request).keep(back, link("/survey", spot=before.spot))
