"""Photographs made for tests: small pictures with blocks of facts written byte by byte."""

import struct
from io import BytesIO
from typing import Any

from PIL import Image, ImageDraw

Fraction = tuple[int, int]


def wood_picture(width_px: int = 320, height_px: int = 240) -> Image.Image:
    """Draw a picture dark on the left, light on the right, red in the top left corner."""
    picture = Image.new("RGB", (width_px, height_px), (200, 205, 205))
    draw = ImageDraw.Draw(picture)
    draw.rectangle((0, 0, width_px // 3, height_px), fill=(40, 45, 40))
    draw.rectangle((0, 0, width_px // 4, height_px // 4), fill=(220, 30, 30))
    return picture


def saved(picture: Image.Image, form: str = "JPEG", **how: Any) -> bytes:
    """Bytes of a picture as a file."""
    out = BytesIO()
    picture.save(out, form, **how)
    return out.getvalue()


def photo(
    *,
    main: dict[int, Any] | None = None,
    camera: dict[int, Any] | None = None,
    fix: dict[int, Any] | None = None,
    size_px: tuple[int, int] = (320, 240),
) -> bytes:
    """Make a JPEG whose block of facts holds what is given."""
    return saved(wood_picture(*size_px), exif=block(main or {}, camera or {}, fix or {}))


def block(main: dict[int, Any], camera: dict[int, Any], fix: dict[int, Any]) -> bytes:
    """Write a block of facts after the standard, without the help of any library.

    A text becomes ASCII, bytes go as they are, a whole number a SHORT, and a fraction (two whole
    numbers) or a list of fractions RATIONALs.
    """
    sizes = [2 + 12 * (len(main) + 2) + 4, 2 + 12 * len(camera) + 4, 2 + 12 * len(fix) + 4]
    at_camera = 8 + sizes[0]
    at_fix = at_camera + sizes[1]
    spill = at_fix + sizes[2]
    pointers = {0x8769: struct.pack("<I", at_camera), 0x8825: struct.pack("<I", at_fix)}
    out, tail = b"II*\0" + struct.pack("<I", 8), b""
    for entries in ({**main, **pointers}, camera, fix):
        out += struct.pack("<H", len(entries))
        for tag in sorted(entries):
            kind, count, data = _packed(entries[tag], is_pointer=tag in pointers)
            if len(data) > 4:
                out += struct.pack("<HHII", tag, kind, count, spill + len(tail))
                tail += data + b"\0" * (len(data) % 2)
            else:
                out += struct.pack("<HHI", tag, kind, count) + data.ljust(4, b"\0")
        out += struct.pack("<I", 0)
    return b"Exif\0\0" + out + tail


def _packed(value: Any, *, is_pointer: bool) -> tuple[int, int, bytes]:
    if is_pointer:
        return 4, 1, value
    if isinstance(value, str):
        data = value.encode("ascii") + b"\0"
        return 2, len(data), data
    if isinstance(value, bytes):
        return 1, len(value), value
    if isinstance(value, int):
        return 3, 1, struct.pack("<H", value)
    fractions = value if isinstance(value, list) else [value]
    return 5, len(fractions), b"".join(struct.pack("<II", *one) for one in fractions)


# Invented: the bank at White Post Gap, on the demo's October morning.
CAMERA: dict[int, Any] = {
    0x9003: "2027:10:24 08:12:05",
    0x9011: "+01:00",
    0x920A: (425, 100),
    0xA405: 26,
}
FIX: dict[int, Any] = {
    1: "N",
    2: [(53, 1), (0, 1), (144, 100)],
    3: "W",
    4: [(5, 1), (5, 1), (5928, 100)],
    5: b"\0",
    6: (965, 10),
    16: "M",
    17: (11850, 100),
    31: (65, 10),
}
