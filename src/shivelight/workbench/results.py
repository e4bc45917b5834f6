"""What the workbench answers with: plain frozen values that every shell can show or dump."""

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from shivelight.basis.arrays import FloatArray, UtcArray
from shivelight.basis.places import Position
from shivelight.light.reach import LightWindow
from shivelight.outing.arrive import ArrivalChoice
from shivelight.outing.found import Found, SaidFound
from shivelight.outing.kept import RasterNote
from shivelight.outing.spots import Spot
from shivelight.outing.woods import Wood


@dataclass(frozen=True, slots=True, kw_only=True)
class BookReport:
    """State of the field book."""

    path: Path
    version: int
    whole: bool
    woods: int
    spots: int
    forecasts: int
    judgements: int
    outings: int
    mornings_logged: int
    size_kb: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WoodPage:
    """One wood with all that belongs to it."""

    wood: Wood
    spots: tuple[Spot, ...]
    rasters: tuple[RasterNote, ...]
    counts: SaidFound
    logs: tuple[Found, ...]
    stale_access: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SkylineReport:
    """A spot's skyline and where each part of it comes from."""

    spot: str
    altitude_deg: FloatArray
    origin: str
    unknown: tuple[tuple[float, float], ...]
    highest_deg: float
    highest_toward_deg: float
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SunDay:
    """Sun and Moon of one civil day at one place, over a level horizon."""

    day: dt.date
    zone_name: str
    position: Position
    astronomical_dawn_utc: np.datetime64 | None
    nautical_dawn_utc: np.datetime64 | None
    civil_dawn_utc: np.datetime64 | None
    sunrise_utc: np.datetime64 | None
    sunrise_azimuth_deg: float | None
    noon_utc: np.datetime64 | None
    noon_altitude_deg: float | None
    sunset_utc: np.datetime64 | None
    sunset_azimuth_deg: float | None
    civil_dusk_utc: np.datetime64 | None
    nautical_dusk_utc: np.datetime64 | None
    astronomical_dusk_utc: np.datetime64 | None
    moonrise_utc: np.datetime64 | None
    moonset_utc: np.datetime64 | None
    moon_lit_frac: float
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LightDay:
    """Direct light on one spot on one civil day."""

    spot: str
    wood: str
    day: dt.date
    zone_name: str
    civil_dawn_utc: np.datetime64 | None
    sunrise_utc: np.datetime64 | None
    at_subject: tuple[LightWindow, ...]
    at_stand_point: tuple[LightWindow, ...]
    skyline: SkylineReport
    cautions: tuple[str, ...]
    track_utc: UtcArray
    track_altitude_deg: FloatArray
    track_azimuth_deg: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class DarkSeason:
    """Spans of a year in which no direct light reaches a spot."""

    spot: str
    year: int
    spans: tuple[tuple[dt.date, dt.date], ...]
    always: bool
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ForecastKept:
    """A forecast in the book, in one line."""

    wood: str
    source: str
    kind: str
    fetched_utc: np.datetime64
    issued_utc: np.datetime64 | None
    first_utc: np.datetime64
    last_utc: np.datetime64
    members: int
    missing: tuple[str, ...]
    age_h: float
    distance_km: float | None
    zone_name: str
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrival:
    """What to do as things were found.

    Attributes
    ----------
    choices : tuple of ArrivalChoice
        Spots that can be walked to, best first.
    seen : str
        The mist that was found, in the log's words.
    lifting : tuple of datetime64
        By when such mist, seen at sunrise, has lifted in 1, 5 and 9 of 10 cases; times that do
        not come within eight hours are left out, and all are where none was seen.
    """

    choices: tuple[ArrivalChoice, ...]
    seen: str
    lifting: tuple[np.datetime64, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetFiles:
    """What was written for a morning."""

    day: dt.date
    html: Path
    pdf: Path | None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WordFiles:
    """The leave-word card that was written."""

    day: dt.date
    text: str
    text_file: Path
    html: Path
    pdf: Path | None
    note: str = ""
