"""How a change to a spot is taken back."""

from dataclasses import fields

from fastapi import Request

from shivelight.outing.spots import Spot
from shivelight.web.house import Undo
from shivelight.web.routes.undo import undo_by, unless_changed
from shivelight.web.show import link


def put_back(request: Request, before: Spot, after: Spot) -> Undo | None:
    """Write the form that makes a spot again what it was; None where nothing changed."""
    if before == after:
        return None
    values = {one.name: getattr(before, one.name) for one in fields(before)}
    name = values.pop("name")
    back = unless_changed(
        lambda bench: bench.spot(name),
        after,
        lambda bench: bench.change_spot(name, **values),
        refusal=f"{name} was changed again since; nothing was taken back.",
        words=f"{name} is as it was.",
    )
    return undo_by(request, back, link("/spot", name=name))
