"""Forms: what was typed, as every view that writes takes it, and the form as the page shows it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import Depends, Request, Response
from fastapi.responses import RedirectResponse

from shivelight.basis.errors import ShivelightError
from shivelight.basis.records import json_text
from shivelight.web.boxes import Box, RefusedError, opened
from shivelight.web.house import Note, Undo
from shivelight.web.show import house_of, visit_of, wants_json
from shivelight.web.tokens import FIELD, form_token, upload_token
from shivelight.workbench.fields.field import Field

REFUSALS = (RefusedError, ShivelightError)
"""What a view that writes answers with its own form, filled as it was sent."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """One form of a page.

    Attributes
    ----------
    action : str
        Address it is sent to.
    button : str
        Words on its button.
    boxes : tuple of Box
        In order.
    hidden : tuple of (str, str)
        Sent along unseen.
    wrong : str
        Why the whole was not taken; empty when it was.
    """

    action: str
    button: str
    boxes: tuple[Box, ...] = ()
    hidden: tuple[tuple[str, str], ...] = ()
    wrong: str = ""

    def box(self, key: str) -> Box:
        """One box by its key, for a page that sets it in a sentence."""
        return next(box for box in self.boxes if box.key == key)


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """Some boxes under one heading, shown open or folded away."""

    head: str
    boxes: tuple[Box, ...]
    is_open: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """What a form answers with where JSON was asked for."""

    done: str
    next: str


async def _typed(request: Request) -> Mapping[str, str]:
    form = await request.form()
    typed: dict[str, str] = {}
    for key, value in form.multi_items():
        if isinstance(value, str) and key != FIELD:
            typed[key] = f"{typed[key]}\n{value}" if key in typed else value
    return typed


Typed = Annotated[Mapping[str, str], Depends(_typed)]
"""Text of a form by key; a key that came more than once holds its values one a line."""


def writes(*tables: tuple[Field, ...], more: tuple[str, ...] = ()) -> dict[str, Any]:
    """Give the route of a form its token and its description.

    Parameters
    ----------
    *tables : tuple of Field
        Fields that the form has.
    more : tuple of str
        Other keys that it has.
    """
    words = {"type": "string"}
    said = {field.key: words for table in tables for field in table} | dict.fromkeys(more, words)
    schema = {"type": "object", "properties": {**said, FIELD: words}}
    return {
        "dependencies": [Depends(form_token)],
        "openapi_extra": {
            "requestBody": {"content": {"application/x-www-form-urlencoded": {"schema": schema}}}
        },
    }


def uploads(*, more: tuple[str, ...] = ()) -> dict[str, Any]:
    """Give the route of an upload, whose body is streamed, its token and its description."""
    words = {"type": "string"}
    file = {"type": "string", "format": "binary"}
    said = {FIELD: words, **dict.fromkeys(more, words), "file": file}
    schema = {"type": "object", "properties": said}
    return {
        "dependencies": [Depends(upload_token)],
        "openapi_extra": {"requestBody": {"content": {"multipart/form-data": {"schema": schema}}}},
    }


def wrong_of(error: Exception) -> Mapping[str, str]:
    """Why a form was refused, by box; "" stands for the whole."""
    return error.wrong if isinstance(error, RefusedError) else {"": opened(str(error))}


def go(request: Request, path: str, words: str = "", *, undo: Undo | None = None) -> Response:
    """Go to a page after something was done, and say there what it was.

    Parameters
    ----------
    request : Request
        Of the form.
    path : str
        One of our own addresses.
    words : str
        What was done, in a sentence; nothing to say when empty.
    undo : Undo, optional
        How it is taken back.
    """
    if wants_json(request):
        return Response(json_text(Done(done=words, next=path)), media_type="application/json")
    visit = visit_of(request)
    if words and visit is not None:
        house_of(request).notes.keep(visit.session, Note(words=words, undo=undo))
    return RedirectResponse(path, status_code=303)
