"""How a change to a wood is taken back."""

from dataclasses import fields

from fastapi import Request

from shivelight.outing.woods import Wood
from shivelight.web.house import Undo
from shivelight.web.routes.undo import undo_by, unless_changed
from shivelight.web.show import link


def put_back(request: Request, before: Wood, after: Wood) -> Undo:
    """Write the form that makes a wood again what it was before a change."""
    values = {one.name: getattr(before, one.name) for one in fields(before)}
    name = values.pop("name")
    back = unless_changed(
        lambda bench: bench.wood(name).wood,
        after,
        lambda bench: bench.change_wood(name, **values),
        refusal=f"{name} was changed again since, so nothing was taken back; change it by hand.",
        words=f"{name} is as it was.",
    )
    return undo_by(request, back, link("/wood", name=name))
