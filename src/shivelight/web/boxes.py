"""The boxes of a form: made from the tables of fields, filled, read back, refused by box."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from shivelight.basis.errors import BadInputError, ShivelightError
from shivelight.workbench.fields.field import Field

MOST_LETTERS = 20_000
"""No box holds more; an outline of 400 corners has 10,000 letters."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """One value of a form as the page shows it.

    Attributes
    ----------
    key : str
        Its name in the form: the field's key.
    label, unit, hint : str
        Words before, after and beneath.
    text : str
        What stands in it.
    words : tuple of str
        What it can be, where that is one of a few words.
    many : bool
        Whether it holds several lines.
    asked : bool
        Whether the form cannot do without.
    wrong : str
        Why what was typed was not taken; empty when it was.
    """

    key: str
    label: str
    unit: str = ""
    hint: str = ""
    text: str = ""
    words: tuple[str, ...] = ()
    many: bool = False
    asked: bool = False
    wrong: str = ""


def opened(words: str) -> str:
    """Open a sentence with a capital letter, as one that stands by itself."""
    return f"{words[:1].upper()}{words[1:]}"


class RefusedError(Exception):
    """A form cannot be taken as it is; ``wrong`` says why, by box, and "" for the whole."""

    def __init__(self, wrong: Mapping[str, str]) -> None:
        super().__init__("; ".join(wrong.values()))
        self.wrong = dict(wrong)


def boxes(
    fields: tuple[Field, ...],
    values: Mapping[str, Any] | None = None,
    *,
    typed: Mapping[str, str] | None = None,
    wrong: Mapping[str, str] | None = None,
    asked: frozenset[str] = frozenset(),
) -> tuple[Box, ...]:
    """Make the boxes of a form.

    Parameters
    ----------
    fields : tuple of Field
        In the order of the page.
    values : mapping, optional
        Values by key, to fill them with.
    typed : mapping, optional
        What was typed before, by key; it goes before the values.
    wrong : mapping, optional
        Why boxes were refused, by key.
    asked : frozenset of str
        Keys that the form cannot do without.
    """
    made = []
    for field in fields:
        filled = field.on_page((values or {}).get(field.key))
        made.append(
            Box(
                key=field.key,
                label=field.label or field.key,
                unit=field.unit,
                hint=field.hint,
                text=filled if typed is None else typed.get(field.key, ""),
                words=field.words,
                many=field.many,
                asked=field.key in asked,
                wrong=opened((wrong or {}).get(field.key, "")),
            )
        )
    return tuple(made)


def read_boxes(
    fields: tuple[Field, ...],
    typed: Mapping[str, str],
    *,
    asked: frozenset[str] = frozenset(),
    emptied: bool = False,
) -> dict[str, Any]:
    """Read what was typed in the boxes of a form.

    Parameters
    ----------
    fields : tuple of Field
        The form's.
    typed : mapping of str to str
        By key.
    asked : frozenset of str
        Keys that the form cannot do without.
    emptied : bool
        Whether an empty box is told as None (or an empty tuple), to take an old value away;
        left out otherwise.

    Raises
    ------
    RefusedError
        If any box cannot be read; all that are wrong are told at once.
    """
    said: dict[str, Any] = {}
    wrong: dict[str, str] = {}
    for field in fields:
        text = typed.get(field.key, "")
        try:
            value = _read(field, text, asked=field.key in asked)
        except ShivelightError as why:
            wrong[field.key] = str(why)
            continue
        if emptied or value not in (None, ()):
            said[field.key] = value
    if wrong:
        raise RefusedError(wrong)
    return said


def as_shown(made: Sequence[Box]) -> str:
    """Write down what a form was filled with, to be sent along with it unseen."""
    return json.dumps({box.key: box.text for box in made})


def merged(typed: Mapping[str, str], now: Sequence[Box]) -> dict[str, str]:
    """Take from a form only what was changed in it; what was left alone stays as the book has it.

    Parameters
    ----------
    typed : mapping of str to str
        By key; "was" holds what :func:`as_shown` wrote, where the form sent it along.
    now : sequence of Box
        The same boxes, as the book would fill them now.
    """
    try:
        was = json.loads(typed.get("was", ""))
    except ValueError:
        return dict(typed)
    if not isinstance(was, dict):
        return dict(typed)
    left = {
        box.key: box.text
        for box in now
        if str(was.get(box.key)).splitlines() == typed.get(box.key, "").splitlines()
    }
    return {**typed, **left}


def _read(field: Field, text: str, *, asked: bool) -> Any:
    if len(text) > MOST_LETTERS:
        raise BadInputError(f"{field.label} has {len(text)} letters; {MOST_LETTERS} is the most.")
    if asked and not text.strip():
        raise BadInputError(f"{field.label} is needed{_such_as(field)}.")
    return field.from_page(text)


def _such_as(field: Field) -> str:
    return f": {field.hint.rstrip('.')}" if field.hint else ""
