"""Names of things: told apart whatever their capitals, and near ones offered for a wrong one."""

import difflib
import unicodedata
from collections.abc import Iterable

from sqlalchemy import Connection, Table, select

from shivelight.basis.errors import NotFoundError


def folded(name: str) -> str:
    """Form of a name in which capitals, doubled spaces and ways of writing accents are alike."""
    whole = unicodedata.normalize("NFKC", name).casefold()
    return unicodedata.normalize("NFC", " ".join(whole.split()))


def find_id(tx: Connection, table: Table, *, kind: str, name: str) -> int:
    """Row of a named thing.

    Raises
    ------
    NotFoundError
        If there is none; the text offers near names.
    """
    found = tx.execute(select(table.c.id).where(table.c.name_folded == folded(name))).scalar()
    if found is None:
        raise not_found(kind, name, list(tx.execute(select(table.c.name)).scalars()))
    return int(found)


def find_ids(tx: Connection, table: Table, *, kind: str, names: Iterable[str]) -> dict[str, int]:
    """Rows of many named things, in one question; each name as it was given.

    Raises
    ------
    NotFoundError
        For the first that is not there.
    """
    known = {
        row.name_folded: row.id for row in tx.execute(select(table.c.name_folded, table.c.id))
    }
    return {
        name: int(known[folded(name)])
        if folded(name) in known
        else find_id(tx, table, kind=kind, name=name)
        for name in dict.fromkeys(names)
    }


def not_found(kind: str, name: str, known: list[str]) -> NotFoundError:
    """Build the error for a name that is not in the book, with what may have been meant."""
    if not known:
        return NotFoundError(f"No {kind} named {name!r}; the book holds none yet.")
    by_folded = {folded(one): one for one in known}
    asked = folded(name)
    near = difflib.get_close_matches(asked, by_folded, n=2, cutoff=0.6)
    near += [one for one in sorted(by_folded) if asked and asked in one and one not in near]
    near += [
        one
        for one in sorted(by_folded)
        if one not in near and difflib.get_close_matches(asked, one.split(), n=1, cutoff=0.7)
    ]
    if near:
        meant = " or ".join(repr(by_folded[one]) for one in near[:2])
        return NotFoundError(f"No {kind} named {name!r}; did you mean {meant}?")
    listed = ", ".join(sorted(known)[:8])
    more = "" if len(known) <= 8 else f" and {len(known) - 8} more"
    return NotFoundError(f"No {kind} named {name!r}; the book holds {listed}{more}.")
