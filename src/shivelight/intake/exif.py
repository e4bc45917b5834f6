"""What the Exif block of a photograph tells, read with distrust.

Cameras, phones and programs that cut pictures down leave half a block, empty texts, fractions
over nothing and positions of nought: each such thing becomes "not known", with a sentence.

References
----------
.. [1] CIPA DC-008 (Exif), sections 4.6.5 and 4.6.6: the tags, their units and default values.
"""

import datetime as dt
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

Tags = Mapping[int, Any]

MM_PER_UNIT = {2.0: 25.4, 3.0: 10.0, 4.0: 1.0, 5.0: 0.001}
"""Units of the focal plane's resolution by their number in Exif: inch, cm, mm, µm. [mm]"""
FILM_DIAGONAL_MM = math.hypot(36.0, 24.0)
"""The equivalent focal length goes by the diagonal of 35 mm film."""
TIMES = ((0x9003, 0x9011, ""), (0x9004, 0x9012, ""), (0x0132, 0x9010, "changed"))
"""Tags of when it was taken, digitised, last changed, with those of their offsets."""
NEAR_NOUGHT_DEG = 1e-6
LEAST_SHAPE, MOST_SHAPE = 1.3, 1.52
"""Long side over short side of sensors, from 4 by 3 to 3 by 2 (common practice)."""

_CLOCK = re.compile(r"(\d{4})[:-](\d\d)[:-](\d\d)[ T](\d\d):(\d\d):(\d\d)")
_OFFSET = re.compile(r"([+-])(\d\d):(\d\d)")


@dataclass(frozen=True, slots=True, kw_only=True)
class ExifBlock:
    """The three directories of a block that matter here, by the numbers of their tags."""

    main: Tags = field(default_factory=dict)
    camera: Tags = field(default_factory=dict)
    fix: Tags = field(default_factory=dict)


def taken_at(block: ExifBlock, notes: list[str]) -> tuple[dt.datetime | None, int | None]:
    """When the picture was taken on the camera's clock, and that clock's offset. [min]."""
    there = {**block.main, **block.camera}
    for tag, offset_tag, doubt in TIMES:
        text = _text(there.get(tag))
        if not text:
            continue
        taken = _clock(text)
        if taken is None:
            notes.append(f"It gives {text!r:.40} as its time, which is none.")
            continue
        if doubt:
            notes.append("It tells only when the file was last changed, not when it was taken.")
        offset_min = _offset_min(_text(there.get(offset_tag)))
        if offset_min is None:
            notes.append("It does not tell which zone its clock was set to.")
        return taken, offset_min
    notes.append("It does not tell when it was taken.")
    return None, None


def position_of(block: ExifBlock, notes: list[str]) -> tuple[float, float] | None:
    """Latitude and longitude of the camera, WGS 84, or None. [°]."""
    fix = block.fix
    if 2 not in fix and 4 not in fix:
        notes.append("It holds no position; the camera had no fix, or was not allowed one.")
        return None
    latitude_deg = _angle_deg(fix.get(2), _text(fix.get(1)), "NS", 90.0)
    longitude_deg = _angle_deg(fix.get(4), _text(fix.get(3)), "EW", 180.0)
    if latitude_deg is None or longitude_deg is None:
        notes.append("Its position is damaged or incomplete, and was left out.")
        return None
    if max(abs(latitude_deg), abs(longitude_deg)) < NEAR_NOUGHT_DEG:
        notes.append(
            "Its position is 0° north, 0° east, which cameras write when they have no fix."
        )
        return None
    if _text(fix.get(9)).upper().startswith("V"):
        notes.append("The camera noted that it had lost its fix when the picture was taken.")
    datum = _text(fix.get(18))
    if datum and re.sub(r"[^A-Z0-9]", "", datum.upper()) not in {"WGS84", "WGS1984"}:
        notes.append(f"Its position is in {datum!r:.30}, and was taken for WGS 84; check it.")
    return latitude_deg, longitude_deg


def fix_height_m(block: ExifBlock) -> float | None:
    """Height of the fix above sea level. [m]."""
    height_m = _number(block.fix.get(6))
    if height_m is None:
        return None
    below = _number(block.fix.get(5, 0))  # 1 and 3 count downwards; without a word, upwards
    signed_m = -height_m if below in {1.0, 3.0} else height_m
    return signed_m if -500.0 <= signed_m <= 9000.0 else None


def fix_error_m(block: ExifBlock) -> float | None:
    """How far out the camera took its fix to be, level with the ground. [m]."""
    error_m = _number(block.fix.get(31))
    return error_m if error_m is not None and 0.0 < error_m < 1e6 else None


def direction_of(block: ExifBlock, notes: list[str]) -> tuple[float, bool | None] | None:
    """Bearing of the view, and whether it counts from magnetic north; None where it says none."""
    if 17 not in block.fix:
        notes.append("It does not tell which way the camera looked.")
        return None
    direction_deg = _number(block.fix[17])
    if direction_deg is None or not 0.0 <= direction_deg <= 360.0:
        notes.append("The direction it gives is none, and was left out.")
        return None
    from_north = {"T": False, "M": True}.get(_text(block.fix.get(16)).upper()[:1])
    if from_north is None:
        notes.append("It does not tell whether its direction is from true or magnetic north.")
    return direction_deg % 360.0, from_north


def focal_length_mm(block: ExifBlock, notes: list[str]) -> float | None:
    """Focal length as engraved. [mm]."""
    length_mm = _positive(block.camera.get(0x920A), 10_000.0)
    if length_mm is None:
        notes.append("It does not tell its focal length.")
    return length_mm


def equivalent_focal_length_mm(block: ExifBlock) -> float | None:
    """Focal length that sees as much on 35 mm film. [mm]."""
    return _positive(block.camera.get(0xA405), 10_000.0)


def sensor_width_mm(block: ExifBlock, size_px: tuple[int, int], notes: list[str]) -> float | None:
    """Long side of the sensor, from the equivalent focal length or the pixels to the millimetre.

    The first goes by the diagonal and is a whole number of millimetres, so it is good to 1 in 50
    at 26 mm; the second is believed only when the picture still has all its pixels.
    """
    length_mm = _positive(block.camera.get(0x920A), 10_000.0)
    equivalent_mm = equivalent_focal_length_mm(block)
    long_px = max(size_px)
    wide_mm: float | None = None
    if length_mm is not None and equivalent_mm is not None:
        shape = _sensor_shape(long_px / min(size_px), notes)
        diagonal_mm = FILM_DIAGONAL_MM * length_mm / equivalent_mm
        wide_mm = diagonal_mm * shape / math.hypot(shape, 1.0)
    else:
        across = _number(block.camera.get(0xA20E))
        unit_mm = MM_PER_UNIT.get(_number(block.camera.get(0xA210, 2)) or 0.0)
        whole_px = _number(block.camera.get(0xA002)), _number(block.camera.get(0xA003))
        if across and unit_mm and max(whole_px, key=lambda px: px or 0.0) == long_px:
            wide_mm = long_px * unit_mm / across
    if wide_mm is None or not 1.0 <= wide_mm <= 200.0:
        notes.append("It does not tell the size of its sensor.")
        return None
    return wide_mm


def _sensor_shape(shape: float, notes: list[str]) -> float:
    """Long side over short side of the sensor, given that of the picture."""
    if LEAST_SHAPE <= shape <= MOST_SHAPE:
        return shape
    shape_words, nearest = ("4 by 3", 4 / 3) if shape < LEAST_SHAPE else ("3 by 2", 3 / 2)
    notes.append(
        "The picture is of another shape than sensors are, so it was cropped: the size of the "
        f"sensor is worked out as {shape_words}, and its long side may be off by 1 in 20 or more."
    )
    return nearest


def orientation_of(block: ExifBlock) -> int:
    """How the picture is to be turned, 1 to 8; 1 when it does not say."""
    number = _number(block.main.get(0x0112))
    return int(number) if number is not None and number in range(1, 9) else 1


def _number(value: Any) -> float | None:
    """Finite number, or None; a list of one counts as the one."""
    if isinstance(value, tuple | list) and len(value) == 1:
        value = value[0]
    if isinstance(value, bytes) and len(value) == 1:
        value = value[0]
    if isinstance(value, str | bytes | bool):
        return None
    try:
        number = float(value)
    except (TypeError, ValueError, ZeroDivisionError, OverflowError):
        return None
    return number if math.isfinite(number) else None


def _positive(value: Any, high: float) -> float | None:
    number = _number(value)
    return number if number is not None and 0.0 < number <= high else None


def _text(value: Any) -> str:
    """Text without what pads it; empty for anything else."""
    if isinstance(value, bytes):
        value = value.decode("ascii", "replace")
    return value.split("\0", 1)[0].strip() if isinstance(value, str) else ""


def _clock(text: str) -> dt.datetime | None:
    found = _CLOCK.match(text)
    if found is None:
        return None
    try:
        return dt.datetime.fromisoformat("{}-{}-{}T{}:{}:{}".format(*found.groups()))
    except ValueError:
        return None


def _offset_min(text: str) -> int | None:
    if text == "Z":
        return 0
    found = _OFFSET.fullmatch(text)
    if found is None:
        return None
    offset_min = int(found[2]) * 60 + int(found[3])
    if int(found[3]) > 59 or offset_min > 14 * 60:  # no clock is farther from UTC
        return None
    return -offset_min if found[1] == "-" else offset_min


def _angle_deg(value: Any, side: str, sides: str, most_deg: float) -> float | None:
    """Degrees, minutes and seconds on a named side of the equator or of Greenwich."""
    parts = value if isinstance(value, tuple | list) else (value,)
    numbers = [_number(part) for part in parts]
    if not 1 <= len(numbers) <= 3 or side.upper()[:1] not in tuple(sides):
        return None
    total_deg = 0.0
    for number, per_degree in zip(numbers, (1.0, 60.0, 3600.0), strict=False):
        if number is None or number < 0.0 or (per_degree > 1.0 and number > 60.0):
            return None
        total_deg += number / per_degree
    if total_deg > most_deg:
        return None
    return -total_deg if side.upper()[:1] == sides[1] else total_deg
