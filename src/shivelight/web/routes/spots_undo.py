"""How a change to a spot is taken back."""

from dataclasses import fields

from fastapi import Request

from shivelight.basis.errors import BadInputError
from shivelight.outing.spots import Spot
from shivelight.web.house import Undo
from shivelight.web.routes.woods_undo import stash_of
from shivelight.web.show import link
from shivelight.workbench.bench import Workbench


def put_back(request: Request, before: Spot, after: Spot) -> Undo | None:
    """Write the form that makes a spot again what it was; None where nothing changed."""
    if before == after:
        return None

    def back(bench: Workbench) -> str:
        if bench.spot(before.name) != after:
            raise BadInputError(f"{before.name} was changed again since; nothing was taken back.")
        values = {one.name: getattr(before, one.name) for one in fields(before)}
        bench.change_spot(values.pop("name"), **values)
        return f"{before.name} is as it was."

    return stash_of(request).keep(back, link("/spot", name=before.name))
