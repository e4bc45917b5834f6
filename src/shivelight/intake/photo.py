"""Photographs: what a file tells of itself, and a small copy without any of that.

The kind is told by the content. Nothing is decoded before its size is known from the header, and
a block of facts that is damaged costs the facts, never the picture.
"""

import struct
import threading
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from io import BytesIO

from PIL import Image, ImageCms, ImageFile
from PIL.TiffImagePlugin import TiffImageFile

from shivelight.basis.errors import OutOfRangeError, UnreadableFileError
from shivelight.intake.exif import (
    ExifBlock,
    direction_of,
    equivalent_focal_length_mm,
    fix_error_m,
    fix_height_m,
    focal_length_mm,
    orientation_of,
    position_of,
    sensor_width_mm,
    taken_at,
)
from shivelight.outing.pictures import MOST_BYTES, MOST_PIXELS, PhotoFacts

READERS = {
    "jpeg": ("JPEG", "MPO"),
    "png": ("PNG",),
    "tiff": ("TIFF",),
    "webp": ("WEBP",),
    "heic": ("HEIF",),
}
"""Which of Pillow's readers may open which kind."""
HEIC_BRANDS = frozenset({b"heic", b"heix", b"heim", b"heis", b"hevc", b"mif1", b"msf1"})
RAW_TAGS = (50706, 33421)
"""Tags of negatives in the frame of a TIFF: the version of a DNG, and the filter mosaic."""
SUBFILE_TAG = 254
"""Whose first bit says that the frame is a reduced one, as negatives put first."""
NEGATIVE = (
    "This is a camera's negative, or a TIFF file of an unusual kind or damaged, which cannot be "
    "read here; give a JPEG of it."
)
DAMAGED = "The picture is cut short or damaged; copy it again from the camera or phone."
QUALITY = 85
"""Of the small copies, on JPEG's scale (a judgement)."""
PAPER = (255, 255, 255)
"""What shows through clear parts."""

_STRANGE = (
    OSError, SyntaxError, ValueError, TypeError, KeyError, IndexError, AttributeError, EOFError,
    struct.error, zlib.error, ArithmeticError, MemoryError, RuntimeError, AssertionError,
)  # fmt: skip
"""What readers are known to raise on damaged files."""
_TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
_one_at_a_time = threading.Lock()


def read_photo(data: bytes) -> PhotoFacts:
    """Read what a photograph tells of itself, without decoding it.

    Parameters
    ----------
    data : bytes
        The whole file.

    Raises
    ------
    UnreadableFileError
        If it is no photograph of a kind known here, or its header is damaged.
    OutOfRangeError
        If the file or the picture is too large.
    """
    with _opened(data) as (kind, image):
        notes: list[str] = []
        block = _block_of(image, notes)
        width_px, height_px = _upright_size(image, block)
    taken, offset_min = taken_at(block, notes)
    position = position_of(block, notes)
    direction = direction_of(block, notes)
    return PhotoFacts(
        kind=kind,
        width_px=width_px,
        height_px=height_px,
        taken=taken,
        taken_offset_min=offset_min,
        latitude_deg=None if position is None else position[0],
        longitude_deg=None if position is None else position[1],
        fix_height_m=fix_height_m(block),
        fix_error_m=fix_error_m(block),
        direction_deg=None if direction is None else direction[0],
        direction_is_magnetic=None if direction is None else direction[1],
        focal_length_mm=focal_length_mm(block, notes),
        equivalent_focal_length_mm=equivalent_focal_length_mm(block),
        sensor_width_mm=sensor_width_mm(block, (width_px, height_px), notes),
        notes=tuple(notes),
    )


def small_copy(data: bytes, side_px: int) -> bytes:
    """Make an upright JPEG whose long side is at most ``side_px``, with nothing but the picture.

    Colours are turned to sRGB where the file names its own; no position, time, profile,
    thumbnail or remark goes along. A picture that is small already is not made larger.

    Raises
    ------
    UnreadableFileError, OutOfRangeError
        As :func:`read_photo`, and if the picture is cut short or damaged.
    """
    try:
        with _opened(data) as (kind, image):
            orientation = orientation_of(_block_of(image, []))
            if kind == "jpeg":
                image.draft(None, (side_px, side_px))  # decodes an eighth or so of it
            image.load()
            profile = image.info.get("icc_profile")
            small = _in_eight_bits(image)
            small.thumbnail((side_px, side_px), Image.Resampling.LANCZOS)
            if kind not in {"tiff", "heic"} and orientation in _TURNS:  # those turn themselves
                small = small.transpose(_TURNS[orientation])
            plain = Image.new("RGB", small.size, PAPER)
            _lay_on(plain, small, profile)
    except OutOfRangeError:
        raise
    except _STRANGE as why:
        raise UnreadableFileError(DAMAGED) from why
    out = BytesIO()
    plain.save(out, "JPEG", quality=QUALITY, optimize=True)
    return out.getvalue()


def kind_of(data: bytes) -> str:
    """Kind of a photograph by its first bytes.

    Raises
    ------
    UnreadableFileError
        If it is none of those known here.
    """
    if data.startswith(b"\xff\xd8\xff"):
        return "jpeg"
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return "png"
    if data[:4] in {b"II*\0", b"MM\0*"}:
        return "tiff"
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return "webp"
    if data[4:8] == b"ftyp" and data[8:12] in HEIC_BRANDS:
        return "heic"
    raise UnreadableFileError(
        "This is no photograph that can be read here; give a JPEG, PNG, TIFF or WebP file."
    )


@contextmanager
def _opened(data: bytes) -> Iterator[tuple[str, Image.Image]]:
    """Open a photograph of bearable size, one at a time.

    Pillow's remarks on odd files are not passed on, and files that are cut short are refused,
    whatever another library has told Pillow to do with them.
    """
    if len(data) > MOST_BYTES:
        raise OutOfRangeError(
            "size of the file", round(len(data) / 1e6, 1), 0.0, MOST_BYTES / 1e6, "MB",
            "Save the picture smaller.",
        )  # fmt: skip
    kind = kind_of(data)
    if kind == "heic":
        _learn_heic()
    with _one_at_a_time, warnings.catch_warnings(), _strict():
        warnings.simplefilter("ignore")
        try:
            image = Image.open(BytesIO(data), formats=READERS[kind])
        except Image.DecompressionBombError as why:
            raise _too_many_pixels() from why
        except _STRANGE as why:
            raise UnreadableFileError(NEGATIVE if kind == "tiff" else DAMAGED) from why
        with image:
            if image.width * image.height > MOST_PIXELS:
                raise _too_many_pixels()
            if isinstance(image, TiffImageFile) and _is_negative(image):
                raise UnreadableFileError(NEGATIVE)
            yield kind, image


@contextmanager
def _strict() -> Iterator[None]:
    """Let no file that is cut short pass for whole."""
    before = ImageFile.LOAD_TRUNCATED_IMAGES
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    try:
        yield
    finally:
        ImageFile.LOAD_TRUNCATED_IMAGES = before


def _is_negative(image: TiffImageFile) -> bool:
    tags = image.tag_v2
    reduced = tags.get(SUBFILE_TAG, 0)
    return any(tag in tags for tag in RAW_TAGS) or (isinstance(reduced, int) and reduced % 2 == 1)


def _too_many_pixels() -> UnreadableFileError:
    return UnreadableFileError(
        f"The picture has more than {MOST_PIXELS // 1_000_000} million pixels; save it smaller."
    )


def _learn_heic() -> None:
    """Teach Pillow to read HEIC where the machine can."""
    try:
        reader = import_module("pillow_heif")  # an extra that may be absent
    except ImportError as why:
        raise UnreadableFileError(
            "This is a HEIC photograph, which cannot be read here; set the phone to save JPEG, "
            "or share the picture as JPEG."
        ) from why
    reader.register_heif_opener()


def _block_of(image: Image.Image, notes: list[str]) -> ExifBlock:
    """Directories of the Exif block, those that can be read."""
    try:
        whole = Image.Image.getexif(image)  # PNG's own would decode the picture to look for more
        main = dict(whole)
    except _STRANGE:
        notes.append("Its block of facts (Exif) is damaged.")
        return ExifBlock()
    if not main:
        notes.append("It holds no block of facts (Exif); a program that saved it left them out.")
        return ExifBlock()
    parts = {}
    for name, tag in (("camera", 0x8769), ("fix", 0x8825)):
        try:
            parts[name] = dict(whole.get_ifd(tag))
        except _STRANGE:
            notes.append("Part of its block of facts (Exif) is damaged.")
    return ExifBlock(main=main, **parts)


def _upright_size(image: Image.Image, block: ExifBlock) -> tuple[int, int]:
    if orientation_of(block) >= 5 and image.format not in {"TIFF", "HEIF"}:  # turned already
        return image.height, image.width
    return image.width, image.height


def _in_eight_bits(image: Image.Image) -> Image.Image:
    """Bring depths and palettes to RGB, RGBA, L or CMYK of eight bits."""
    if image.mode == "F":
        raise UnreadableFileError("This file holds measurements, not a photograph.")
    if image.mode.startswith("I"):  # sixteen bits of grey
        return image.convert("I").point(lambda value: value * (1 / 256)).convert("L")
    if image.mode in {"P", "PA", "LA", "La", "RGBa"} or "transparency" in image.info:
        return image.convert("RGBA")
    if image.mode in {"RGB", "RGBA", "L", "CMYK"}:
        return image
    return image.convert("RGB")


def _lay_on(plain: Image.Image, small: Image.Image, profile: bytes | None) -> None:
    """Put a picture on paper, in sRGB."""
    clear = small.getchannel("A") if small.mode == "RGBA" else None
    picture = small.convert("RGB") if clear is not None else small
    if profile:
        picture = _in_srgb(picture, profile)
    plain.paste(picture.convert("RGB"), (0, 0), clear)


def _in_srgb(picture: Image.Image, profile: bytes) -> Image.Image:
    """Turn colours to sRGB; a profile that cannot be used is passed over."""
    try:
        turned = ImageCms.profileToProfile(
            picture,
            ImageCms.ImageCmsProfile(BytesIO(profile)),
            ImageCms.createProfile("sRGB"),
            outputMode="RGB",
        )
    except (ImageCms.PyCMSError, *_STRANGE):
        return picture
    return picture if turned is None else turned
