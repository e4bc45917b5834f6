from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from shivelight.basis.errors import UnreadableFileError
from shivelight.intake.pixels import read_pixels


def saved(kind: str, size: tuple[int, int], *, tags: dict[int, object] | None = None) -> bytes:
    """Save a picture that is black on the left and white on the right as stored."""
    pixels = np.zeros((size[1], size[0], 3), dtype=np.uint8)
    pixels[:, size[0] // 2 :] = 255
    exif = Image.Exif()
    for tag, value in (tags or {}).items():
        exif[tag] = value
    out = BytesIO()
    Image.fromarray(pixels).save(out, kind, exif=exif)
    return out.getvalue()


def test_a_large_picture_is_brought_to_a_size_to_measure_on() -> None:
    found = read_pixels(saved("JPEG", (3000, 2000)), most=600_000)
    rows, columns, colours = found.rgb.shape
    assert colours == 3
    assert rows * columns <= 601_500
    assert columns / rows == pytest.approx(1.5, abs=0.01)
    assert (found.facts.width_px, found.facts.height_px) == (3000, 2000)
    x_px, y_px = found.here(2999.0, 1999.0)
    assert (x_px, y_px) == pytest.approx((columns - 1.0, rows - 1.0), abs=0.6)


def test_a_small_picture_keeps_its_pixels() -> None:
    found = read_pixels(saved("PNG", (60, 40)))
    assert found.rgb.shape == (40, 60, 3)
    assert found.here(17.0, 3.0) == (17.0, 3.0)


@pytest.mark.parametrize(("turn", "dark"), [(1, "left"), (3, "right"), (6, "top"), (8, "bottom")])
@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_a_picture_is_turned_upright(kind: str, turn: int, dark: str) -> None:
    grey = read_pixels(saved(kind, (90, 60), tags={0x0112: turn})).grey
    assert grey.shape == ((60, 90) if turn < 5 else (90, 60))
    half_rows, half_columns = grey.shape[0] // 2, grey.shape[1] // 2
    halves = {
        "left": grey[:, : half_columns - 2],
        "right": grey[:, half_columns + 2 :],
        "top": grey[: half_rows - 2],
        "bottom": grey[half_rows + 2 :],
    }
    assert min(halves, key=lambda name: float(halves[name].mean())) == dark


def test_tilt_and_composites_are_told() -> None:
    tags: dict[int, object] = {0x8769: {0x9405: -4.5, 0xA460: 3}}
    found = read_pixels(saved("JPEG", (90, 60), tags=tags))
    assert found.elevation_deg == pytest.approx(-4.5)
    assert found.is_composite
    plain = read_pixels(saved("JPEG", (90, 60)))
    assert plain.elevation_deg is None
    assert not plain.is_composite


def test_a_picture_cut_short_is_refused() -> None:
    whole = saved("JPEG", (900, 600))
    with pytest.raises(UnreadableFileError, match="cut short or damaged"):
        read_pixels(whole[: len(whole) // 2])
