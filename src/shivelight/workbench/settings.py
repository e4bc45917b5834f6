"""The settings, each with its default and a sentence of help.

Built once by a shell: defaults, then ``shivelight.toml`` beside the book, then environment
variables (``SHIVELIGHT_...``), then what was typed. Nothing else reads the environment.
"""

import datetime as dt
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from pathlib import Path
from typing import Any

from shivelight.basis.errors import BadInputError, UnreadableFileError, require_range

FILE_NAME = "shivelight.toml"
PREFIX = "SHIVELIGHT_"
SERVICES = ("met-norway", "open-meteo", "open-meteo-ensemble", "off")
THEMES = ("paper", "dim", "clock")
MOST_RASTER_MB = 100_000
"""Nobody sends a larger file to a page by mistake only. [MB] A judgement."""


GROUPS = ("The book", "Forecasts", "Your mornings", "Looks", "This machine")
"""In which order a page shows the settings."""


def _setting(
    default: Any,
    help_text: str,
    *,
    group: str,
    label: str,
    choices: tuple[str, ...] = (),
    unit: str = "",
) -> Any:
    """Make a field that carries its help and what a page needs to show it."""
    return field(
        default=default,
        metadata={
            "help": help_text, "group": group, "label": label, "choices": choices, "unit": unit,
        },
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """What may be set; see docs/settings.md."""

    book: str = _setting(
        "~/Shivelight/book.sqlite",
        "The field book: one file, with its pictures beside it.",
        group="The book",
        label="field book",
    )
    contact: str = _setting(
        "",
        "An e-mail address or web page of yours, sent to forecast services as their terms ask.",
        group="Forecasts",
        label="your contact",
    )
    service: str = _setting(
        "met-norway",
        "Forecast service: met-norway, open-meteo, open-meteo-ensemble, or off.",
        group="Forecasts",
        label="forecast service",
        choices=SERVICES,
    )
    finger_deg: float = _setting(
        1.0,
        "What your own little finger covers at arm's length, in degrees; measure it once against "
        "something of known width.",
        group="Your mornings",
        label="little finger",
        unit="°",
    )
    pace_m: float = _setting(
        0.75,
        "One of your own paces on rough ground, in metres; walk twenty along a tape and divide.",
        group="Your mornings",
        label="pace",
        unit="m",
    )
    members: int = _setting(
        50,
        "How many members a single forecast is spread into by documented error sizes.",
        group="Forecasts",
        label="members",
    )
    mornings: int = _setting(
        7,
        "How many coming mornings the evening looks at.",
        group="Your mornings",
        label="mornings looked at",
    )
    back_by: str = _setting(
        "11:00",
        "Usual time to be back, on the wood's clock.",
        group="Your mornings",
        label="back by",
    )
    alarm_after_h: float = _setting(
        2.0,
        "Hours after the return when the alarm is raised.",
        group="Your mornings",
        label="alarm after the return",
        unit="h",
    )
    set_up_min: float = _setting(
        10.0,
        "Minutes to set up at a spot.",
        group="Your mornings",
        label="setting up",
        unit="min",
    )
    wake_min: float = _setting(
        35.0,
        "Minutes from the alarm clock to setting out.",
        group="Your mornings",
        label="waking to setting out",
        unit="min",
    )
    theme: str = _setting(
        "clock",
        "Theme of sheets: paper, dim, or clock (dim before sunrise).",
        group="Looks",
        label="theme of sheets",
        choices=THEMES,
    )
    most_raster_mb: int = _setting(
        2000,
        "Largest raster file that a page takes in, in megabytes.",
        group="This machine",
        label="largest raster",
        unit="MB",
    )
    port: int = _setting(
        8017,
        "Port of this machine on which the pages are served.",
        group="This machine",
        label="port",
    )

    @property
    def asks_contact(self) -> bool:
        """Whether the forecast service wants to know whom it answers, and no contact is set."""
        if self.contact or self.service == "off":
            return False
        from shivelight.intake.services import service_named  # noqa: PLC0415  wanted late

        return service_named(self.service).needs_contact

    def __post_init__(self) -> None:
        for name, known in (("service", SERVICES), ("theme", THEMES)):
            if getattr(self, name) not in known:
                listed = f"{', '.join(known[:-1])} or {known[-1]}"
                raise BadInputError(f"{name} is {getattr(self, name)!r}; it must be {listed}.")
        require_range("finger", self.finger_deg, 0.3, 4.0, "°")
        require_range("pace", self.pace_m, 0.3, 1.5, "m")
        require_range("members", self.members, 2, 500)
        require_range("mornings", self.mornings, 1, 7)
        _require_clock("back by", self.back_by)
        require_range("alarm after the return", self.alarm_after_h, 0.25, 48.0, "h")
        require_range("setting up", self.set_up_min, 0.0, 240.0, "min")
        require_range("waking to setting out", self.wake_min, 0.0, 720.0, "min")
        require_range("largest raster", self.most_raster_mb, 1, MOST_RASTER_MB, "MB")
        require_range("port", self.port, 1024, 65_535)

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
    said = environment_settings(environment)
    where = Path(book or said.get("book") or Settings().book).expanduser().parent
    made = with_said(Settings(), file_settings(where / FILE_NAME), str(where / FILE_NAME))
    made = with_said(made, said, "the environment")
    chosen = {name: value for name, value in typed.items() if value is not None}
    if book is not None:
        chosen["book"] = book
    return with_said(made, chosen, "what was typed")


def environment_settings(environment: Mapping[str, str]) -> dict[str, str]:
    """Pick the settings out of the environment, by name, as they stand there."""
    known = {PREFIX + one.name.upper(): one.name for one in fields(Settings)}
    return {known[name]: value for name, value in environment.items() if name in known}


def file_settings(path: Path) -> dict[str, Any]:
    """Read what ``shivelight.toml`` says; nothing when there is none.

    Raises
    ------
    UnreadableFileError
        If it is no TOML.
    """
    if not path.is_file():
        return {}
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, OSError) as why:
        raise UnreadableFileError(f"{path.name} cannot be read as TOML: {why}.") from why


def with_said(settings: Settings, said: Mapping[str, Any], source: str) -> Settings:
    """Give settings in which some are as said, texts read as numbers where numbers are wanted.

    Raises
    ------
    BadInputError
        If a setting is unknown or has a value it cannot have; ``source`` is named.
    """
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


def _require_clock(name: str, text: str) -> None:
    """Refuse what is no time of day; read as the leave-word card reads it."""
    try:
        dt.time.fromisoformat(text.strip().replace(".", ":").zfill(5))
    except ValueError as why:
        raise BadInputError(f"{name} is {text!r}, no time of day; write it like 11:00.") from why
