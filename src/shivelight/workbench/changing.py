"""Changing the settings for good: in ``shivelight.toml`` beside the book, comments and all.

The file is a person's own. Only the statement of the setting that changes is touched; every
other line stays as it is, and each edit is read back as TOML before it is written.
"""

import json
import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Any

from shivelight.basis.errors import BadInputError, NotFoundError, UnreadableFileError
from shivelight.workbench.settings import (
    FILE_NAME,
    GROUPS,
    Settings,
    environment_settings,
    file_settings,
    with_said,
)

NOT_HERE = (
    "The field book is chosen where the program is started: --book FILE, or SHIVELIGHT_BOOK."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingShown:
    """One setting as a page or a command shows it.

    Attributes
    ----------
    name, label, group, help, unit : str
        What it is.
    value, default : str
        As written in the file, texts without quotes.
    source : {"default", "file", "environment", "typed"}
        Where its value comes from.
    choices : tuple of str
        The words it may be; empty when it is free.
    kind : {"text", "number", "whole number"}
        What is typed.
    can_change : bool
        Whether changing the file would have an effect.
    """

    name: str
    label: str
    group: str
    help: str
    unit: str
    value: str
    default: str
    source: str
    choices: tuple[str, ...]
    kind: str
    can_change: bool


def settings_shown(
    settings: Settings, environment: Mapping[str, str], *, only: str | None = None
) -> tuple[SettingShown, ...]:
    """List every setting with its value and where that comes from, group by group.

    Raises
    ------
    NotFoundError
        If ``only`` one was asked for and there is none of that name.
    """
    in_file = file_settings(settings.book_path.parent / FILE_NAME)
    in_environment = environment_settings(environment)
    shown = [
        _shown(one, settings, in_file=in_file, in_environment=in_environment)
        for one in fields(Settings)
        if only in {None, one.name}
    ]
    if not shown:
        raise _no_setting(str(only))
    return tuple(sorted(shown, key=lambda one: GROUPS.index(one.group)))


def settings_to_mend(environment: Mapping[str, str], *, book: str | None = None) -> Settings:
    """Give the defaults with only the book as chosen: enough to change a file that is refused."""
    return Settings(book=book or environment_settings(environment).get("book", Settings().book))


def overridden(environment: Mapping[str, str]) -> tuple[str, ...]:
    """Name the settings that the environment holds, whatever the file says."""
    held = environment_settings(environment)
    return tuple(one.name for one in fields(Settings) if one.name in held)


def change_settings(
    settings: Settings, environment: Mapping[str, str], said: Mapping[str, str]
) -> Settings:
    """Write settings into ``shivelight.toml`` beside the book.

    Parameters
    ----------
    settings : Settings
        As they are; they say where the book is.
    environment : mapping
        Environment variables: what they set stays in force, though the file is changed.
    said : mapping of str to str
        New values by name, as typed.

    Returns
    -------
    Settings
        As they are from now on.

    Raises
    ------
    NotFoundError
        If there is no setting of a name.
    BadInputError
        If a value is one it cannot have, or the book is among them; nothing is written then.
    UnreadableFileError
        If the file is there and is no TOML.
    UnwritableError
        If it cannot be written.
    """
    for name, value in said.items():
        _require_known(name)
        if not value.isprintable():
            raise BadInputError(
                f"{name} holds a sign that cannot be printed; give it on one line."
            )
    read = with_said(Settings(), said, "what was typed")
    return _written(settings, environment, {name: getattr(read, name) for name in said})


def reset_settings(
    settings: Settings, environment: Mapping[str, str], names: Iterable[str]
) -> Settings:
    """Take settings out of ``shivelight.toml``, so that their defaults count again.

    Raises
    ------
    NotFoundError, BadInputError, UnreadableFileError, UnwritableError
        As :func:`change_settings`.
    """
    wanted = tuple(names)
    for name in wanted:
        _require_known(name)
    return _written(settings, environment, dict.fromkeys(wanted))


def edited(text: str, name: str, value: str | float | None) -> str:
    """Put one setting into the text of a TOML file, or take it out with None.

    Raises
    ------
    UnreadableFileError
        If the text is no TOML, or sets the name in a way that cannot be changed line by line.
    """
    before = _loaded(text)
    wanted = {key: one for key, one in before.items() if key != name}
    statement = ""
    if value is not None:
        wanted[name] = value
        statement = f"{name} = {_toml(value)}"
    if name not in before and value is None:
        return text
    tried = (
        _replacing(text, name, statement, old=before[name])
        if name in before
        else _inserting(text, statement)
    )
    for attempt in tried:
        if _same(_parsed(attempt), wanted):
            return attempt
    raise UnreadableFileError(
        f"{FILE_NAME} sets {name} in a way that cannot be changed from here; change it by hand."
    )


def _written(
    settings: Settings, environment: Mapping[str, str], changes: Mapping[str, Any]
) -> Settings:
    """Edit the file, see that what it then says is possible, and write it whole."""
    from shivelight.workbench.keeping import write_whole  # noqa: PLC0415  loads the store

    path = settings.book_path.parent / FILE_NAME
    path = path.resolve() if path.is_symlink() else path
    before = _text_of(path)
    text = before
    for name, value in changes.items():
        text = edited(text, name, value)
    known = {one.name for one in fields(Settings)}
    in_file = {name: value for name, value in _loaded(text).items() if name in known}
    made = with_said(Settings(), in_file, FILE_NAME)
    if text != before:
        write_whole(path, text)
    held = overridden(environment)
    return replace(settings, **{name: getattr(made, name) for name in changes if name not in held})


def _shown(
    one: Any, settings: Settings, *, in_file: Mapping[str, Any], in_environment: Mapping[str, str]
) -> SettingShown:
    value = getattr(settings, one.name)
    places = (("environment", in_environment), ("file", in_file))
    source, there = next(
        ((place, said[one.name]) for place, said in places if one.name in said),
        ("default", one.default),
    )
    if getattr(with_said(Settings(), {one.name: there}, source), one.name) != value:
        source = "typed"
    kinds = {"int": "whole number", "float": "number"}
    return SettingShown(
        name=one.name,
        label=one.metadata["label"],
        group=one.metadata["group"],
        help=one.metadata["help"],
        unit=one.metadata["unit"],
        value=_plain(value),
        default=_plain(one.default),
        source=source,
        choices=one.metadata["choices"],
        kind=kinds.get(type(one.default).__name__, "text"),
        can_change=one.name != "book" and source in {"default", "file"},
    )


def _plain(value: str | float) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)


def _require_known(name: str) -> None:
    if name == "book":
        raise BadInputError(NOT_HERE)
    if name not in {one.name for one in fields(Settings)}:
        raise _no_setting(name)


def _no_setting(name: str) -> NotFoundError:
    known = ", ".join(one.name for one in fields(Settings))
    return NotFoundError(f"There is no setting named {name!r}; there are {known}.")


def _text_of(path: Path) -> str:
    try:
        return path.read_bytes().decode("utf-8") if path.is_file() else ""
    except (OSError, UnicodeDecodeError) as why:
        raise UnreadableFileError(f"{path.name} cannot be read: {why}.") from why


def _loaded(text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as why:
        raise UnreadableFileError(f"{FILE_NAME} cannot be read as TOML: {why}.") from why


def _parsed(text: str) -> dict[str, Any] | None:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return None


def _same(found: Mapping[str, Any] | None, wanted: Mapping[str, Any]) -> bool:
    """Whether two files say the same; compared as text, for "not a number" is like no other."""
    if found is None or found.keys() != wanted.keys():
        return False
    return all(repr(found[name]) == repr(wanted[name]) for name in wanted)


def _toml(value: str | float) -> str:
    return json.dumps(value, ensure_ascii=False) if isinstance(value, str) else repr(value)


def _replacing(text: str, name: str, statement: str, *, old: Any) -> Iterator[str]:
    """Yield the text with each statement that may set the name exchanged for another.

    A statement may reach over several lines; what stands behind it on its last line stays.
    """
    lines = text.split("\n")
    key = re.compile(rf"""\s*(?:{name}|"{name}"|'{name}')\s*=""")
    for first, line in enumerate(lines):
        if not key.match(line):
            continue
        for last in range(first, len(lines)):
            whole = "\n".join(lines[first : last + 1])
            comment = _comment_after(whole, name, old)
            if comment is None:
                continue
            put = [f"{statement}{comment}" if statement else comment.strip()]
            if not statement and not comment.strip():
                put = []
            yield "\n".join((*lines[:first], *put, *lines[last + 1 :]))


def _comment_after(whole: str, name: str, old: Any) -> str | None:
    """Find what follows a statement on its last line; None where it is not that statement."""
    ends = [at for at, sign in enumerate(whole) if sign == "#"]
    for end in (*ends, len(whole)):
        bare = whole[:end].rstrip(" \t\r")
        if _same(_parsed(bare), {name: old}):
            return whole[len(bare) :]
    return None


def _inserting(text: str, statement: str) -> Iterator[str]:
    """Yield the text with a statement put in ever earlier: a table's header must come after it."""
    lines = text.split("\n")
    ending = "\r" if "\r\n" in text else ""
    for place in range(len(lines), -1, -1):
        at_end = place == len(lines)
        if at_end and lines[-1] == "":
            continue  # the text ends with a line's end: the place before it is the same
        last = lines[:place]
        if at_end and ending and not last[-1].endswith("\r"):
            last = [*last[:-1], last[-1] + ending]
        yield "\n".join((*last, statement + ending, *(lines[place:] or [""])))
