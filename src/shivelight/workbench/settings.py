"""The settings, each with its default and a sentence of help.

Built once by a shell: defaults, then ``shivelight.toml`` beside the book, then environment
variables (``SHIVELIGHT_...``), then what was typed. Nothing else reads the environment.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from pathlib import Path
from typing import Any

from shivelight.basis.errors import BadInputError, UnreadableFileError, require_range

FILE_NAME = "shivelight.toml"
PREFIX = "SHIVELIGHT_"
SERVICES = ("met-norway", "open-meteo", "open-meteo-ensemble", "off")


def _setting(default: Any, help_text: str) -> Any:
    return field(default=default, metadata={"help": help_text})


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """What may be set; see docs/settings.md."""

    book: str = _setting(
        "~/Shivelight/book.sqlite", "The field book: one file, with its pictures beside it."
    )
    contact: str = _setting(
        "",
        "An e-mail address or web page of yours, sent to forecast services as their terms ask.",
    )
    service: str = _setting(
        "met-norway",
        "Forecast service: met-norway, open-meteo, open-meteo-ensemble, or off.",
    )
    finger_deg: float = _setting(
        1.0,
        "What your own little finger covers at arm's length, in degrees; measure it once against "
        "something of known width.",
    )
    members: int = _setting(
        50, "How many members a single forecast is spread into by documented error sizes."
    )
    mornings: int = _setting(7, "How many coming mornings the evening looks at.")
    back_by: str = _setting("11:00", "Usual time to be back, on the wood's clock.")
    alarm_after_h: float = _setting(2.0, "Hours after the return when the alarm is raised.")
    set_up_min: float = _setting(10.0, "Minutes to set up at a spot.")
    wake_min: float = _setting(35.0, "Minutes from the alarm clock to setting out.")
    theme: str = _setting("clock", "Theme of sheets: paper, dim, or clock (dim before sunrise).")

    def __post_init__(self) -> None:
        if self.service not in SERVICES:
            raise BadInputError(
                f"service is {self.service!r}; it must be {' or '.join(SERVICES)}."
            )
        require_range("finger", self.finger_deg, 0.3, 4.0, "°")
        if self.theme not in {"paper", "dim", "clock"}:
            raise BadInputError(f"theme is {self.theme!r}; it must be paper, dim or clock.")
        if not 2 <= self.members <= 500:
            raise BadInputError(f"members is {self.members}; it must be 2 to 500.")
        if not 1 <= self.mornings <= 7:
            raise BadInputError(f"mornings is {self.mornings}; it must be 1 to 7.")

    @property
    def book_path(self) -> Path:
        """The field book's file, with ``~`` written out."""
        return Path(self.book).expanduser()


def read_settings(
    environment: Mapping[str, str], *, book: str | None = None, **typed: Any
) -> Settings:
    """Build the settings from the file, the environment and what was typed.

    Parameters
    ----------
    environment : mapping
        Environment variables; only those that begin with ``SHIVELIGHT_`` matter.
    book : str, optional
        The book as typed; it also says where ``shivelight.toml`` is looked for.
    **typed
        Other settings as typed; None means not typed.

    Raises
    ------
    BadInputError
        If a setting is unknown or has a value it cannot have.
    UnreadableFileError
        If ``shivelight.toml`` is there and is no TOML.
    """
    said = {
        name.removeprefix(PREFIX).lower(): value
        for name, value in environment.items()
        if name.startswith(PREFIX)
    }
    known = {one.name: one for one in fields(Settings)}
    said = {name: value for name, value in said.items() if name in known}
    where = Path(book or said.get("book") or Settings().book).expanduser().parent
    made = _with(Settings(), _file_settings(where / FILE_NAME), str(where / FILE_NAME))
    made = _with(made, said, "the environment")
    chosen = {name: value for name, value in typed.items() if value is not None}
    if book is not None:
        chosen["book"] = book
    return _with(made, chosen, "what was typed")


def _file_settings(path: Path) -> dict[str, Any]:
    if not path.is_file():
        return {}
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, OSError) as why:
        raise UnreadableFileError(f"{path.name} cannot be read as TOML: {why}.") from why


def _with(settings: Settings, said: Mapping[str, Any], source: str) -> Settings:
    changed: dict[str, Any] = {}
    for name, value in said.items():
        kind = {one.name: one.type for one in fields(Settings)}.get(name)
        if kind is None:
            raise BadInputError(f"There is no setting named {name!r} (in {source}).")
        caster = {"int": int, "float": float}.get(str(getattr(kind, "__name__", kind)), str)
        try:
            changed[name] = caster(value)
        except (TypeError, ValueError) as why:
            raise BadInputError(
                f"The setting {name} in {source} is {value!r}, no number."
            ) from why
    return replace(settings, **changed)
