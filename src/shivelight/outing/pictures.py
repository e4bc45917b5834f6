"""Photographs of spots: what a file tells of itself, and what the book keeps of it."""

import datetime as dt
import re
from dataclasses import dataclass

import numpy as np

from shivelight.basis.errors import BadInputError, require_range
from shivelight.basis.places import Position
from shivelight.outing.kept import require_instant

ENDINGS = {"jpeg": "jpg", "png": "png", "tiff": "tif", "webp": "webp", "heic": "heic"}
"""Kinds of photograph, and how the names of their files end."""
MOST_PIXELS = 150_000_000
"""Larger pictures are refused before they are decoded (a judgement)."""
MOST_BYTES = 60_000_000
"""So are larger files (a judgement)."""

_SHA256 = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoFacts:
    """What a photograph's file tells; None where it does not.

    Attributes
    ----------
    kind : str
        One of :data:`ENDINGS`, told by the content, never by the name.
    width_px, height_px : int
        As the picture is held.
    taken : datetime or None
        On the camera's clock, without a zone.
    taken_offset_min : int or None
        How far that clock is ahead of UTC. [min]
    latitude_deg, longitude_deg : float or None
        Where the camera was, WGS 84. Both or none. [°]
    fix_height_m : float or None
        Height above sea level that came with the fix. [m]
    fix_error_m : float or None
        How far out, level with the ground, the camera took its fix to be. [m]
    direction_deg : float or None
        Bearing toward which the camera looked, from the north named next. [°]
    direction_is_magnetic : bool or None
        Whether that is magnetic north; None where the file does not say which.
    focal_length_mm : float or None
        As engraved. [mm]
    equivalent_focal_length_mm : float or None
        The one that sees as much on 35 mm film. [mm]
    sensor_width_mm : float or None
        Long side of the sensor, worked out. [mm]
    notes : tuple of str
        What was missing or odd, a sentence each.
    """

    kind: str
    width_px: int
    height_px: int
    taken: dt.datetime | None = None
    taken_offset_min: int | None = None
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    fix_height_m: float | None = None
    fix_error_m: float | None = None
    direction_deg: float | None = None
    direction_is_magnetic: bool | None = None
    focal_length_mm: float | None = None
    equivalent_focal_length_mm: float | None = None
    sensor_width_mm: float | None = None
    notes: tuple[str, ...] = ()

    @property
    def position(self) -> Position | None:
        """Where the camera was, as far as the file tells."""
        if self.latitude_deg is None or self.longitude_deg is None:
            return None
        return Position(latitude_deg=self.latitude_deg, longitude_deg=self.longitude_deg)


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A photograph that the book keeps; its file stands unchanged beside the book.

    Attributes
    ----------
    id : int
        Number in the book; 0 for one that is not in it yet.
    sha256 : str
        Fingerprint of the file, in hexadecimal digits.
    file_name : str
        Name of the file in the book's folder of pictures: the fingerprint and an ending.
    byte_count : int
        Size of the file.
    width_px, height_px : int
        As the picture is held.
    kept_utc : datetime64
        When it was put into the book.
    spot : str
        The spot that it shows or was taken from; empty when it belongs to none.
    taken, taken_offset_min, latitude_deg, longitude_deg, direction_deg, direction_is_magnetic, \
focal_length_mm
        As in :class:`PhotoFacts`.
    caption : str
        In words.
    """

    id: int = 0
    sha256: str
    file_name: str
    byte_count: int
    width_px: int
    height_px: int
    kept_utc: np.datetime64
    spot: str = ""
    taken: dt.datetime | None = None
    taken_offset_min: int | None = None
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    direction_deg: float | None = None
    direction_is_magnetic: bool | None = None
    focal_length_mm: float | None = None
    caption: str = ""

    def __post_init__(self) -> None:
        if not _SHA256.fullmatch(self.sha256):
            raise BadInputError(
                "A picture needs the fingerprint of its file: 64 hexadecimal digits."
            )
        if self.file_name not in {f"{self.sha256}.{ending}" for ending in ENDINGS.values()}:
            raise BadInputError(
                "A picture's file is named by its fingerprint and one of: "
                f"{', '.join(ENDINGS.values())}."
            )
        if self.taken is not None and self.taken.tzinfo is not None:
            raise BadInputError(
                "The time a picture was taken is that of its camera, with no zone."
            )
        require_instant("time of keeping", self.kept_utc)
        require_range("number of the picture", self.id, 0, 2**53)
        require_range("size of the file", self.byte_count, 1, MOST_BYTES, "bytes")
        require_range("width of the picture", self.width_px, 1, MOST_PIXELS, "px")
        require_range("height of the picture", self.height_px, 1, MOST_PIXELS, "px")
        for name, value, low, high, unit in (
            ("offset of the clock", self.taken_offset_min, -1440, 1440, "min"),
            ("latitude", self.latitude_deg, -90.0, 90.0, "°"),
            ("longitude", self.longitude_deg, -180.0, 180.0, "°"),
            ("direction", self.direction_deg, 0.0, 360.0, "°"),
            ("focal length", self.focal_length_mm, 0.0, 10_000.0, "mm"),
        ):
            if value is not None:
                require_range(name, value, low, high, unit)


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotDraft:
    """A spot as far as one photograph suggests it; None and "" are left to the person.

    Attributes
    ----------
    picture : Picture
        The photograph, kept.
    wood : str
        Name of the wood that the fix lies in or near; empty when there is none.
    position : Position or None
        Where the camera was.
    view_azimuth_deg : float or None
        True bearing toward which it looked. [°]
    focal_length_mm, sensor_width_mm : float or None
        Of the camera that took it. [mm]
    taken : datetime or None
        On the camera's clock.
    sentences : tuple of str
        What could not be told, and how far out the rest may be.
    """

    picture: Picture
    wood: str = ""
    position: Position | None = None
    view_azimuth_deg: float | None = None
    focal_length_mm: float | None = None
    sensor_width_mm: float | None = None
    taken: dt.datetime | None = None
    sentences: tuple[str, ...] = ()
