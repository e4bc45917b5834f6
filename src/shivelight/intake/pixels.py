"""Photographs as arrays: upright, at a size to measure on, with what bears on the perspective."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from shivelight.basis.errors import UnreadableFileError
from shivelight.intake import photo
from shivelight.intake.exif import ExifBlock, orientation_of
from shivelight.outing.pictures import PhotoFacts

MOST_PIXELS = 1_500_000
"""Size at which features are found; more cost time and tell little (a judgement)."""
ELEVATION_TAG, COMPOSITE_TAG = 0x9405, 0xA460
"""Exif: how far up the camera looked, and whether it made one picture of several."""

ByteImage = NDArray[np.uint8]


@dataclass(frozen=True, slots=True, kw_only=True)
class Upright:
    """A photograph, upright and small enough to measure on.

    Attributes
    ----------
    rgb : ndarray of uint8, shape (rows, columns, 3)
        Its tones in sRGB.
    facts : PhotoFacts
        What its file tells; the size there is that of the whole picture.
    elevation_deg : float or None
        How far up the camera looked, where the file tells. [°]
    is_composite : bool
        Whether the camera says that it made it of several.
    """

    rgb: ByteImage
    facts: PhotoFacts
    elevation_deg: float | None
    is_composite: bool

    @property
    def grey(self) -> ByteImage:
        """Its luma, shape (rows, columns)."""
        weights = np.array([0.299, 0.587, 0.114], dtype=np.float32)
        return np.asarray(np.rint(self.rgb @ weights), dtype=np.uint8)

    def here(self, x_px: float, y_px: float) -> tuple[float, float]:
        """Column and row here of a pixel of the whole picture."""
        rows, columns = self.rgb.shape[:2]
        across, down = columns / self.facts.width_px, rows / self.facts.height_px
        return (x_px + 0.5) * across - 0.5, (y_px + 0.5) * down - 0.5


def read_pixels(data: bytes, *, most: int = MOST_PIXELS) -> Upright:
    """Decode a photograph for measuring.

    Parameters
    ----------
    data : bytes
        The whole file.
    most : int
        Pixels at most; a larger picture is made smaller.

    Raises
    ------
    UnreadableFileError
        If it is no photograph of a kind known here, or is cut short or damaged.
    OutOfRangeError
        If the file or the picture is too large.
    """
    facts = photo.read_photo(data)
    shrink = min(1.0, math.sqrt(most / (facts.width_px * facts.height_px)))
    width = max(1, round(facts.width_px * shrink))
    height = max(1, round(facts.height_px * shrink))
    try:
        # The room's own reading of a file, with all its care.
        with photo._opened(data) as (kind, image):
            block = photo._block_of(image, [])
            turn = orientation_of(block)
            if kind == "jpeg":
                image.draft(None, (width, height) if turn < 5 else (height, width))
            image.load()
            profile = image.info.get("icc_profile")
            small = photo._in_eight_bits(image)
            if kind not in {"tiff", "heic"} and turn in photo._TURNS:  # those turn themselves
                small = small.transpose(photo._TURNS[turn])
            if small.size != (width, height):
                small = small.resize((width, height), Image.Resampling.BOX)
            plain = Image.new("RGB", small.size, photo.PAPER)
            photo._lay_on(plain, small, profile)
    except photo._STRANGE as why:
        raise UnreadableFileError(photo.DAMAGED) from why
    return Upright(
        rgb=np.asarray(plain, dtype=np.uint8),
        facts=facts,
        elevation_deg=_elevation_deg(block),
        is_composite=block.camera.get(COMPOSITE_TAG) in {2, 3},
    )


def _elevation_deg(block: ExifBlock) -> float | None:
    """How far up the camera looked. [°]."""
    try:
        value = float(block.camera.get(ELEVATION_TAG, math.nan))
    except (TypeError, ValueError, ZeroDivisionError):
        return None
    return value if -90.0 <= value <= 90.0 else None
