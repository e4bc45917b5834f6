"""What the field book keeps beside woods, spots and logs: forecasts as received, skylines, notes.

Plain values, apart from any database: the store writes them down, the workbench uses them.
"""

import datetime as dt
import hashlib
from dataclasses import dataclass, field

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, require_range
from shivelight.land.skyline import Skyline
from shivelight.wood.crowns import require_table

RASTER_KINDS = ("ground", "canopy", "surface")
HEIGHT_UNITS = ("", "m", "ft")
SEEN_FROM = ("stand point", "subject")
GROUND_WORDS = ("", "dry", "wet", "frost", "hoar")
PRESSURE_WORDS = ("", "rising", "steady", "falling")


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredForecast:
    """A forecast as it was received, byte for byte.

    Attributes
    ----------
    wood : str
        The wood it was fetched for.
    kind : str
        Which reader understands it ("open-meteo", "metar", "typed").
    payload : bytes
        Exactly what came.
    fetched_utc : datetime64
        When it came.
    issued_utc : datetime64 or None
        When it was issued, where the source says.
    url : str
        Where it came from, without secrets; empty when typed or read from a file.
    headers : dict of str to str
        What came with it, for caching.
    """

    wood: str
    kind: str
    payload: bytes
    fetched_utc: np.datetime64
    issued_utc: np.datetime64 | None = None
    url: str = ""
    headers: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not self.kind.strip():
            raise BadInputError("A stored forecast must say of which kind it is.")
        require_instant("fetching time", self.fetched_utc)
        if self.issued_utc is not None:
            require_instant("time of issue", self.issued_utc)

    @property
    def sha256(self) -> str:
        """Fingerprint of the payload, in hexadecimal digits."""
        return hashlib.sha256(self.payload).hexdigest()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StoredSkyline:
    """A skyline worked out from rasters, with what it was worked out from.

    Attributes
    ----------
    skyline : Skyline
        The heights by bearing.
    made_utc : datetime64
        When.
    seen_from : str
        One of :data:`SEEN_FROM`: the eye at the tripod, or at the subject.
    parameters : dict of str to str
        What it depends on (eye height, position, files), so that an old one can be told.
    """

    skyline: Skyline
    made_utc: np.datetime64
    seen_from: str = "stand point"
    parameters: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        require_instant("making time", self.made_utc)
        if self.seen_from not in SEEN_FROM:
            raise BadInputError(
                f"A skyline is seen from one of: {', '.join(SEEN_FROM)}; not {self.seen_from!r}."
            )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StoredCrowns:
    """Crowns round a spot worked out from rasters, whatever the leaf of the day.

    Attributes
    ----------
    azimuth_deg : ndarray of float64, shape (A,)
        True bearings, evenly round from north. [°]
    altitude_deg : ndarray of float64, shape (B,)
        Apparent altitudes, rising. [°]
    path_m : ndarray of float64, shape (A, B)
        Length of a beam inside known crowns; NaN where nothing is known. [m]
    unseen_m : ndarray of float64, shape (A, B)
        Length below the tallest crown that no raster shows. [m]
    made_utc : datetime64
        When.
    seen_from : str
        One of :data:`SEEN_FROM`.
    parameters : dict of str to str
        What it depends on (eye height, position, files, where crowns begin).
    """

    azimuth_deg: FloatArray
    altitude_deg: FloatArray
    path_m: FloatArray
    unseen_m: FloatArray
    made_utc: np.datetime64
    seen_from: str = "stand point"
    parameters: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        require_instant("making time", self.made_utc)
        if self.seen_from not in SEEN_FROM:
            raise BadInputError(
                f"Crowns are seen from one of: {', '.join(SEEN_FROM)}; not {self.seen_from!r}."
            )
        for lengths_m in (self.path_m, self.unseen_m):
            require_table(self.azimuth_deg, self.altitude_deg, lengths_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class RasterNote:
    """Where a raster of a wood lies.

    Attributes
    ----------
    kind : str
        One of :data:`RASTER_KINDS`.
    path : str
        The file.
    height_unit : str
        "m" or "ft"; empty to believe the file.
    crs : str
        Its coordinate system where the file does not say ("EPSG:27700"); empty otherwise.
    """

    kind: str
    path: str
    height_unit: str = ""
    crs: str = ""

    def __post_init__(self) -> None:
        if self.kind not in RASTER_KINDS:
            raise BadInputError(
                f"A raster is one of: {', '.join(RASTER_KINDS)}; not {self.kind!r}."
            )
        if self.height_unit not in HEIGHT_UNITS:
            raise BadInputError(f"Heights are in m or ft, not {self.height_unit!r}.")
        if not self.path.strip():
            raise BadInputError("A raster needs the name of its file.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """What was said about one spot for one morning, as the log is later held against it.

    Attributes
    ----------
    day : date
        The morning.
    wood, spot : str
        Where.
    made_utc : datetime64
        When it was said.
    rank : int
        Place of the spot among all judged together, 0 the best.
    chance_frac : float
        Chance that all musts hold together; NaN when it could not be worked out.
    morning_mist_frac, forecast_frac : float
        Chance of mist as said, and before the wood's own record; NaN when unknown.
    source : str
        Source of the forecast; empty when none.
    signs : dict of str to float
        Numbers of that evening (spread, wind, cloud), by which like evenings are found.
    """

    day: dt.date
    wood: str
    spot: str
    made_utc: np.datetime64
    rank: int
    chance_frac: float
    morning_mist_frac: float
    forecast_frac: float
    source: str = ""
    signs: dict[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class EveningNote:
    """What a person read off and typed on one evening in or for one wood; None where not read.

    Attributes
    ----------
    wood : str
        Where.
    typed_utc : datetime64
        When.
    temperature_degc, dew_point_degc : float or None
        [°C]
    humidity_frac : float or None
        Relative humidity, 0 to 1.
    wind_speed_mps : float or None
        [m/s]
    cloud_cover_frac : float or None
        0 to 1.
    wind_words, cloud_words : str
        What they will do, as typed ("falling", "clearing by 01:00").
    ground, pressure : str
        One of :data:`GROUND_WORDS` and :data:`PRESSURE_WORDS`.
    note : str
        Anything.
    """

    wood: str
    typed_utc: np.datetime64
    temperature_degc: float | None = None
    dew_point_degc: float | None = None
    humidity_frac: float | None = None
    wind_speed_mps: float | None = None
    cloud_cover_frac: float | None = None
    wind_words: str = ""
    cloud_words: str = ""
    ground: str = ""
    pressure: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        require_instant("time of the evening's values", self.typed_utc)
        for name, value, low, high, unit in (
            ("temperature", self.temperature_degc, -60.0, 60.0, "°C"),
            ("dew point", self.dew_point_degc, -80.0, 40.0, "°C"),
            ("humidity", self.humidity_frac, 0.0, 1.0, ""),
            ("wind", self.wind_speed_mps, 0.0, 80.0, "m/s"),
            ("cloud", self.cloud_cover_frac, 0.0, 1.0, ""),
        ):
            if value is not None:
                require_range(name, value, low, high, unit)
        for name, word, known in (
            ("ground", self.ground, GROUND_WORDS),
            ("pressure", self.pressure, PRESSURE_WORDS),
        ):
            if word not in known:
                raise BadInputError(f"{name} {word!r} is not one of: {', '.join(known[1:])}.")


def require_instant(name: str, utc: np.datetime64) -> None:
    """Refuse "not a time"."""
    if np.isnat(utc):
        raise BadInputError(f"The {name} is not known; give a time.")
