"""Photographs: the facts that a file tells, and copies that tell nothing."""

import datetime as dt
import struct
import threading
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageCms, ImageFile
from PIL.TiffImagePlugin import IFDRational

from shivelight.basis.errors import OutOfRangeError, ShivelightError, UnreadableFileError
from shivelight.basis.places import Position
from shivelight.intake import photo as photo_module
from shivelight.intake.photo import kind_of, read_photo, small_copy
from shivelight.outing.pictures import PhotoFacts
from tests.intake.photographs import CAMERA, FIX, block, photo, saved, wood_picture

PHOTOS = Path(__file__).parents[2] / ".." / "shared" / "data" / "photos"
TAKEN = dt.datetime.fromisoformat("2027-10-24T08:12:05")


def without(tags: dict[int, Any], *numbers: int) -> dict[int, Any]:
    return {tag: value for tag, value in tags.items() if tag not in numbers}


class near:  # noqa: N801  reads as a word in an assertion
    """A position within a millimetre or so."""

    def __init__(self, latitude_deg: float, longitude_deg: float) -> None:
        self.place = latitude_deg, longitude_deg

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Position):
            return False
        return bool(
            np.allclose(self.place, (other.latitude_deg, other.longitude_deg), rtol=0, atol=1e-8)
        )

    def __hash__(self) -> int:
        return hash(self.place)


def said(facts: PhotoFacts) -> str:
    return " ".join(facts.notes)


def test_a_phones_photo_tells_where_when_and_which_way() -> None:
    facts = read_photo(photo(main={0x0112: 6}, camera=CAMERA, fix=FIX))
    assert (facts.kind, facts.width_px, facts.height_px) == ("jpeg", 240, 320)  # held upright
    assert (facts.taken, facts.taken_offset_min) == (TAKEN, 60)
    assert facts.latitude_deg == pytest.approx(53.0004, abs=1e-9)
    assert facts.longitude_deg == pytest.approx(-(5 + 5 / 60 + 59.28 / 3600), abs=1e-9)
    assert (facts.fix_height_m, facts.fix_error_m) == (96.5, 6.5)
    assert (facts.direction_deg, facts.direction_is_magnetic) == (118.5, True)
    assert (facts.focal_length_mm, facts.equivalent_focal_length_mm) == (4.25, 26.0)
    # 43.27 mm x 4.25 / 26 across the corners of a 4 by 3 sensor
    assert facts.sensor_width_mm == pytest.approx(43.2666 * 4.25 / 26.0 * 0.8, abs=1e-3)
    assert facts.notes == ()


def test_facts_written_by_pillow_are_read_alike() -> None:
    exif = Image.Exif()
    exif[0x0112] = 8
    camera = exif.get_ifd(0x8769)
    camera.update({0x9003: "2027:10:24 08:12:05", 0x9011: "-03:30", 0x920A: IFDRational(50, 1)})
    fix = exif.get_ifd(0x8825)
    fix.update({1: "S", 2: (43.0, 30.0, 0.0), 3: "E", 4: (172.0, 15.0, 36.0), 16: "T", 17: 360.0})
    facts = read_photo(saved(wood_picture(), exif=exif))
    assert facts.position == near(-43.5, 172.26)
    assert (facts.direction_deg, facts.direction_is_magnetic) == (0.0, False)
    assert (facts.width_px, facts.height_px, facts.taken_offset_min) == (240, 320, -210)
    assert facts.focal_length_mm == 50.0


@settings(max_examples=60)
@given(
    latitude=st.tuples(st.integers(0, 89), st.integers(0, 59), st.integers(0, 5999)),
    longitude=st.tuples(st.integers(0, 179), st.integers(0, 59), st.integers(0, 5999)),
    north=st.booleans(),
    east=st.booleans(),
)
def test_any_position_is_read_on_its_side(
    latitude: tuple[int, int, int], longitude: tuple[int, int, int], *, north: bool, east: bool
) -> None:
    fix = {
        1: "N" if north else "S",
        2: [(latitude[0], 1), (latitude[1], 1), (latitude[2], 100)],
        3: "E" if east else "W",
        4: [(longitude[0], 1), (longitude[1], 1), (longitude[2], 100)],
    }
    facts = read_photo(photo(fix=fix))
    # worked out in hundredths of a second, whole numbers
    north_of = (latitude[0] * 3600 + latitude[1] * 60) * 100 + latitude[2]
    east_of = (longitude[0] * 3600 + longitude[1] * 60) * 100 + longitude[2]
    if north_of == east_of == 0:
        assert facts.position is None
        return
    assert facts.latitude_deg == pytest.approx(north_of / 360_000 * (1 if north else -1), abs=1e-9)
    assert facts.longitude_deg == pytest.approx(east_of / 360_000 * (1 if east else -1), abs=1e-9)


@pytest.mark.parametrize(
    ("fix", "sentence"),
    [
        ({}, "holds no position"),
        (without(FIX, 1), "damaged or incomplete"),
        (without(FIX, 3), "damaged or incomplete"),
        (without(FIX, 4), "damaged or incomplete"),
        ({**FIX, 1: "X"}, "damaged or incomplete"),
        ({**FIX, 1: "\0"}, "damaged or incomplete"),
        ({**FIX, 2: [(53, 0), (0, 1), (0, 1)]}, "damaged or incomplete"),
        ({**FIX, 2: [(53, 1), (0, 0), (0, 0)]}, "damaged or incomplete"),
        ({**FIX, 2: [(91, 1), (0, 1), (0, 1)]}, "damaged or incomplete"),
        ({**FIX, 4: [(5, 1), (75, 1), (0, 1)]}, "damaged or incomplete"),
        ({**FIX, 2: "53 N"}, "damaged or incomplete"),
        ({**FIX, 2: [(0, 1)] * 3, 4: [(0, 1)] * 3}, "0° north, 0° east"),
    ],
)
def test_a_position_that_is_none_is_left_out_and_told(fix: dict[int, Any], sentence: str) -> None:
    facts = read_photo(photo(camera=CAMERA, fix=fix))
    assert (facts.latitude_deg, facts.longitude_deg, facts.position) == (None, None, None)
    assert sentence in said(facts)
    assert facts.taken == TAKEN  # the rest is not lost with it


def test_positions_in_whole_degrees_or_decimal_minutes_are_read() -> None:
    facts = read_photo(photo(fix={**FIX, 2: [(53, 1), (15, 10), (0, 1)], 4: [(51, 10)]}))
    assert facts.position == near(53.025, -5.1)
    padded = read_photo(photo(fix={**FIX, 1: "n ", 3: "w"}))
    assert padded.position == near(53.0004, -5.0998)


def test_a_lost_fix_and_another_datum_are_told() -> None:
    facts = read_photo(photo(fix={**FIX, 9: "V", 18: "TOKYO"}))
    assert facts.position is not None
    assert "had lost its fix" in said(facts)
    assert "is in 'TOKYO'" in said(facts)
    assert "taken for WGS 84" not in said(read_photo(photo(fix={**FIX, 18: "WGS-84"})))


@pytest.mark.parametrize(
    ("change", "height_m"),
    [({5: b"\1"}, -96.5), ({5: b"\3"}, -96.5), ({6: (1, 0)}, None), ({6: (10_000, 1)}, None)],
)
def test_the_height_of_the_fix_knows_up_from_down(
    change: dict[int, Any], height_m: float | None
) -> None:
    assert read_photo(photo(fix={**FIX, **change})).fix_height_m == height_m
    assert read_photo(photo(fix=without(FIX, 5))).fix_height_m == 96.5  # default: above


@pytest.mark.parametrize(
    ("change", "direction_deg", "is_magnetic", "sentence"),
    [
        ({16: "T"}, 118.5, False, ""),
        ({16: "Q"}, 118.5, None, "true or magnetic north"),
        ({17: (361, 1)}, None, None, "is none"),
        ({17: (1, 0)}, None, None, "is none"),
        ({17: (0, 1)}, 0.0, True, ""),
    ],
)
def test_the_direction_says_from_which_north(
    change: dict[int, Any], direction_deg: float | None, is_magnetic: bool | None, sentence: str
) -> None:
    facts = read_photo(photo(camera=CAMERA, fix={**FIX, **change}))
    assert (facts.direction_deg, facts.direction_is_magnetic) == (direction_deg, is_magnetic)
    assert sentence in said(facts)


@pytest.mark.parametrize(
    ("camera", "taken", "offset_min", "sentence"),
    [
        (without(CAMERA, 0x9011), TAKEN, None, "which zone"),
        ({**CAMERA, 0x9011: "Z"}, TAKEN, 0, ""),
        ({**CAMERA, 0x9011: "   :  "}, TAKEN, None, "which zone"),
        ({**CAMERA, 0x9011: "+25:00"}, TAKEN, None, "which zone"),
        ({**CAMERA, 0x9003: "0000:00:00 00:00:00"}, None, None, "which is none"),
        ({**CAMERA, 0x9003: "    :  :     :  :  "}, None, None, "which is none"),
        ({**CAMERA, 0x9003: "2027:02:30 08:00:00"}, None, None, "which is none"),
        (without(CAMERA, 0x9003), None, None, "not tell when it was taken"),
        ({0x9004: "2027:10:24 08:12:05", 0x9012: "+00:00"}, TAKEN, 0, ""),
    ],
)
def test_the_time_is_that_of_the_cameras_clock(
    camera: dict[int, Any], taken: dt.datetime | None, offset_min: int | None, sentence: str
) -> None:
    facts = read_photo(photo(camera=camera, fix=FIX))
    assert (facts.taken, facts.taken_offset_min) == (taken, offset_min)
    assert sentence in said(facts)


def test_the_time_of_the_last_change_is_told_from_that_of_taking() -> None:
    facts = read_photo(photo(main={0x0132: "2027:10:24 08:12:05"}))
    assert facts.taken == TAKEN
    assert "last changed" in said(facts)


def test_the_sensor_comes_from_pixels_to_the_millimetre_only_while_all_are_there() -> None:
    across = {0x920A: (50, 1), 0xA20E: (320 * 10, 36), 0xA210: 3, 0xA002: 320, 0xA003: 240}
    whole = read_photo(photo(camera=across))
    assert whole.sensor_width_mm == pytest.approx(36.0)
    smaller = read_photo(photo(camera=across, size_px=(160, 120)))
    assert smaller.sensor_width_mm is None
    assert "size of its sensor" in said(smaller)
    for odd in ({0xA20E: (0, 1)}, {0xA210: 9}, {0xA20E: (1, 0)}):
        assert read_photo(photo(camera={**across, **odd})).sensor_width_mm is None


def test_a_cropped_picture_does_not_stretch_the_sensor() -> None:
    lens = {0x920A: (50, 1), 0xA405: 50}
    facts = read_photo(photo(camera=lens, size_px=(320, 180)))
    assert facts.sensor_width_mm == pytest.approx(36.0, abs=0.01)
    assert "worked out as 3 by 2" in said(facts)
    square = read_photo(photo(camera=lens, size_px=(240, 240)))
    assert square.sensor_width_mm == pytest.approx(43.2666 * 0.8, abs=0.001)
    assert "worked out as 4 by 3" in said(square)


@pytest.mark.parametrize("odd", [{0x920A: (0, 1)}, {0x920A: (1, 0)}, {0x920A: "50 mm"}])
def test_a_focal_length_that_is_none_is_left_out(odd: dict[int, Any]) -> None:
    facts = read_photo(photo(camera={**CAMERA, **odd}))
    assert (facts.focal_length_mm, facts.sensor_width_mm) == (None, None)
    assert "focal length" in said(facts)


@pytest.mark.parametrize(
    ("form", "kind"), [("PNG", "png"), ("TIFF", "tiff"), ("WEBP", "webp"), ("MPO", "jpeg")]
)
def test_other_kinds_are_told_by_content_and_turned_upright(form: str, kind: str) -> None:
    exif = Image.Exif()
    exif[0x0112] = 6
    exif.get_ifd(0x8825).update({1: "N", 2: (53.0, 0.0, 0.0), 3: "W", 4: (5.0, 6.0, 0.0)})
    data = saved(wood_picture(), form, exif=exif.tobytes())
    facts = read_photo(data)
    assert (facts.kind, facts.width_px, facts.height_px) == (kind, 240, 320)
    assert facts.position == near(53.0, -5.1)
    copy = opened(small_copy(data, 160))
    assert copy.size == (120, 160)
    assert is_red(copy, "top right")


def opened(data: bytes) -> Image.Image:
    image = Image.open(BytesIO(data))
    image.load()
    return image


def is_red(image: Image.Image, corner: str) -> bool:
    x = 4 if "left" in corner else image.width - 5
    y = 4 if "top" in corner else image.height - 5
    pixel = image.getpixel((x, y))
    assert isinstance(pixel, tuple)
    return pixel[0] > 180 and pixel[1] < 90 and pixel[2] < 90


# Exif (CIPA DC-008) 4.6.4: which rows and columns come first, by orientation.
CORNER_OF = {
    1: "top left", 2: "top right", 3: "bottom right", 4: "bottom left",
    5: "top left", 6: "top right", 7: "bottom right", 8: "bottom left",
}  # fmt: skip


@pytest.mark.parametrize("orientation", range(1, 9))
def test_copies_stand_upright(orientation: int) -> None:
    copy = opened(small_copy(photo(main={0x0112: orientation}), 200))
    assert copy.size == ((200, 150) if orientation < 5 else (150, 200))
    assert [name for name in sorted(set(CORNER_OF.values())) if is_red(copy, name)] == [
        CORNER_OF[orientation]
    ]


def segments(data: bytes) -> list[int]:
    """Markers of a JPEG up to its picture."""
    found, at = [], 2
    while data[at + 1] != 0xDA:
        found.append(data[at + 1])
        at += 2 + struct.unpack(">H", data[at + 2 : at + 4])[0]
    return found


def test_a_copy_carries_nothing_but_the_picture() -> None:
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    data = saved(
        wood_picture(),
        exif=block({0x010E: "White Post Gap"}, CAMERA, FIX),
        icc_profile=profile,
        comment=b"White Post Gap",
        xmp=b"<x:xmpmeta>White Post Gap</x:xmpmeta>",
        dpi=(300, 300),
    )
    assert {0xE1, 0xE2, 0xFE} <= set(segments(data))
    copy = small_copy(data, 320)
    assert set(segments(copy)) <= {0xE0, 0xDB, 0xC0, 0xC2, 0xC4}  # JFIF, tables and the frame
    assert b"White Post" not in copy
    assert dict(opened(copy).getexif()) == {}
    facts = read_photo(copy)
    assert (facts.position, facts.taken) == (None, None)
    for form in ("PNG", "WEBP", "TIFF"):
        other = saved(
            wood_picture(), form, exif=block({0x010E: "White Post Gap"}, CAMERA, FIX)[6:]
        )
        assert b"White Post" in other
        assert b"White Post" not in small_copy(other, 320)


def test_a_small_picture_is_not_made_larger() -> None:
    assert opened(small_copy(photo(), 1600)).size == (320, 240)


def test_colours_of_another_profile_are_turned_to_srgb() -> None:
    """A made-up profile whose red and blue are exchanged: the copy shows what was meant."""
    profile = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    entries = {
        bytes(profile[132 + 12 * n : 136 + 12 * n]): 132 + 12 * n for n in range(profile[131])
    }
    red, blue = entries[b"rXYZ"], entries[b"bXYZ"]
    profile[red + 4 : red + 12], profile[blue + 4 : blue + 12] = (
        profile[blue + 4 : blue + 12], profile[red + 4 : red + 12],
    )  # fmt: skip
    plain = Image.new("RGB", (64, 64), (230, 20, 20))
    turned = opened(small_copy(saved(plain, "PNG", icc_profile=bytes(profile)), 64))
    pixel = turned.getpixel((32, 32))
    assert isinstance(pixel, tuple)
    assert pixel[2] > 200
    assert pixel[0] < 60
    spoiled = opened(small_copy(saved(plain, "PNG", icc_profile=b"no profile"), 64))
    assert is_red(spoiled, "top left")


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGBA", "CMYK", "YCbCr", "LAB", "I;16"])
def test_every_depth_and_palette_gives_a_like_copy(mode: str) -> None:
    grey = Image.fromarray(np.tile(np.repeat([20, 220], 40), (60, 1)).astype(np.uint8))
    if mode == "I;16":
        picture = Image.fromarray(np.asarray(grey).astype(np.uint16) * 257)
    else:
        picture = grey.convert("RGB").convert(mode)
    copy = np.asarray(opened(small_copy(saved(picture, "TIFF" if mode != "P" else "PNG"), 80)))
    assert copy.shape == (60, 80, 3)
    assert copy[:, :30].mean() < 50
    assert copy[:, 50:].mean() > 200


def test_clear_parts_show_paper() -> None:
    clear = Image.new("RGBA", (40, 40), (0, 0, 0, 0))
    copy = np.asarray(opened(small_copy(saved(clear, "PNG"), 40)))
    assert copy.min() > 250


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "no photograph that can be read here"),
        (b"%PDF-1.7", "no photograph"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "no photograph"),
        (b"GIF89a" + b"\0" * 40, "no photograph"),
        (b"\xff\xd8\xff", "cut short or damaged"),
        (b"\x89PNG\r\n\x1a\n", "cut short or damaged"),
        (b"RIFF\0\0\0\0WEBPVP8 ", "cut short or damaged"),
        (b"II*\0\x08\0\0\0", "a camera's negative, or a TIFF file of an unusual kind"),
    ],
)
def test_what_is_no_photograph_is_told(data: bytes, sentence: str) -> None:
    for reader in (read_photo, lambda one: small_copy(one, 320)):
        with pytest.raises(UnreadableFileError, match=sentence):
            reader(data)


def test_a_heic_photo_is_told_how_to_come(monkeypatch: pytest.MonkeyPatch) -> None:
    def absent(name: str) -> None:
        raise ImportError(name)

    monkeypatch.setattr(photo_module, "import_module", absent)
    with pytest.raises(
        UnreadableFileError, match=r"HEIC photograph, .* share the picture as JPEG"
    ):
        read_photo(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic")


def test_a_negative_is_told_from_a_tiff() -> None:
    picture = wood_picture()
    assert kind_of(saved(picture, "TIFF")) == "tiff"
    for tags in ({254: 1}, {50706: b"\1\4\0\0"}):
        with pytest.raises(UnreadableFileError, match="camera's negative"):
            read_photo(saved(picture, "TIFF", tiffinfo=tags))


def claimed(width_px: int, height_px: int) -> bytes:
    """Let a small PNG claim another size in its header."""
    data = bytearray(saved(wood_picture(8, 8), "PNG"))
    struct.pack_into(">II", data, 16, width_px, height_px)
    import zlib

    struct.pack_into(">I", data, 29, zlib.crc32(data[12:29]))
    return bytes(data)


@pytest.mark.parametrize("size_px", [(12_300, 12_300), (14_000, 14_000), (2**31 - 1, 2**31 - 1)])
def test_too_many_pixels_are_refused_by_the_header_alone(
    size_px: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(ImageFile.ImageFile, "load", lambda _self: pytest.fail("decoded"))
    for reader in (read_photo, lambda one: small_copy(one, 320)):
        with pytest.raises(UnreadableFileError, match="more than 150 million pixels"):
            reader(claimed(*size_px))
    assert read_photo(claimed(12_000, 12_000)).width_px == 12_000


def test_too_large_a_file_is_refused() -> None:
    with pytest.raises(
        OutOfRangeError, match=r"size of the file is 60\.1 MB; it must be 0 to 60 MB"
    ):
        read_photo(b"\xff\xd8\xff" + b"\0" * 60_100_000)


@pytest.mark.parametrize("share", [0.3, 0.6, 0.95])
def test_a_photo_cut_short_is_refused_whatever_others_ask_of_pillow(
    share: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another library of ours tells Pillow to let such files pass; here they must not."""
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)
    noise = np.random.default_rng(5).integers(0, 255, (240, 320, 3), dtype=np.uint8)
    for form in ("JPEG", "PNG", "TIFF", "WEBP"):
        whole = saved(Image.fromarray(noise), form)
        small_copy(whole, 320)
        with pytest.raises(UnreadableFileError, match="damaged"):
            small_copy(whole[: int(len(whole) * share)], 320)
    assert ImageFile.LOAD_TRUNCATED_IMAGES is True


def test_many_threads_read_at_once() -> None:
    data = photo(camera=CAMERA, fix=FIX)
    made: list[bytes] = []
    threads = [
        threading.Thread(target=lambda: made.append(small_copy(data, 160))) for _ in range(8)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(made) == 8
    assert set(made) == {made[0]}


WHOLE = {
    "JPEG": photo(main={0x0112: 6, 0x010F: "x"}, camera=CAMERA, fix=FIX, size_px=(48, 32)),
    **{
        form: saved(wood_picture(48, 32), form, exif=block({0x0112: 6}, CAMERA, FIX)[6:])
        for form in ("PNG", "TIFF", "WEBP")
    },
}


@settings(max_examples=400)
@given(
    form=st.sampled_from(sorted(WHOLE)),
    changes=st.lists(st.tuples(st.integers(0, 2**16), st.integers(0, 255)), max_size=12),
    end=st.none() | st.integers(0, 2**12),
)
def test_no_damage_breaks_the_readers(
    form: str, changes: list[tuple[int, int]], end: int | None
) -> None:
    data = bytearray(WHOLE[form])
    for place, byte in changes:
        data[place % len(data)] = byte
    look_at(bytes(data[:end]))


@settings(max_examples=300)
@given(
    changes=st.lists(st.tuples(st.integers(0, 2**16), st.integers(0, 255)), min_size=1, max_size=8)
)
def test_no_damage_in_the_block_of_facts_costs_the_picture(
    changes: list[tuple[int, int]],
) -> None:
    data = bytearray(WHOLE["JPEG"])
    start = data.index(b"Exif\0\0") + 6
    length = struct.unpack(">H", data[start - 8 : start - 6])[0] - 8
    for place, byte in changes:
        data[start + place % length] = byte
    facts = look_at(bytes(data))
    assert facts is not None
    assert {facts.width_px, facts.height_px} == {48, 32}


def look_at(data: bytes) -> PhotoFacts | None:
    """Read and copy a file; a refusal in a sentence is as good as an answer."""
    try:
        facts = read_photo(data)
    except ShivelightError as why:
        assert str(why).endswith(".")  # noqa: PT017  either outcome is allowed
        return None
    for low, value, high in (
        (-90.0, facts.latitude_deg, 90.0),
        (-180.0, facts.longitude_deg, 180.0),
        (0.0, facts.direction_deg, 360.0),
        (0.0, facts.focal_length_mm, 10_000.0),
        (1.0, facts.sensor_width_mm, 200.0),
        (-840, facts.taken_offset_min, 840),
    ):
        assert value is None or low <= value <= high
    try:
        copy = small_copy(data, 320)
    except ShivelightError as why:
        assert str(why).endswith(".")  # noqa: PT017  either outcome is allowed
    else:
        assert segments(copy)
    return facts


# Values printed by exiftool 12.57 (-n) for real photographs. It was run by hand over all 62 JPEG
# files of the folder: of 620 values of size, time, position, height, direction and lens one
# differs, a date of noughts that exiftool passes on and we do not.
BY_EXIFTOOL: dict[str, dict[str, Any]] = {
    "woodland/birch-path-icy-bright-gap-01.jpg": {
        "width_px": 4032,
        "height_px": 3024,
        "latitude_deg": 52.228925,
        "longitude_deg": 20.9206611111111,
        "direction_deg": 189.9701705,
        "fix_height_m": 110.2735043,
        "fix_error_m": 5.0,
        "focal_length_mm": 4.15,
        "equivalent_focal_length_mm": 29.0,
        "direction_is_magnetic": False,
        "taken": dt.datetime.fromisoformat("2017-02-20T10:47:52"),
    },
    "woodland/field-framed-by-spruce-branches-01.jpg": {
        "width_px": 4618,
        "height_px": 3464,
        "latitude_deg": 50.3028475833333,
        "longitude_deg": 16.9230017777778,
        "direction_deg": 293.0,
        "fix_height_m": 619.0,
        "fix_error_m": None,
        "focal_length_mm": 4.67,
        "equivalent_focal_length_mm": None,
        "direction_is_magnetic": True,
        "taken": dt.datetime.fromisoformat("2016-07-16T10:03:04"),
    },
    "stereo/street-trees-walk-01.jpg": {
        "width_px": 1024,
        "height_px": 768,
        "latitude_deg": 55.6997083333333,
        "longitude_deg": 13.1945222222222,
        "direction_deg": None,
        "fix_height_m": 35.0,
        "fix_error_m": None,
        "focal_length_mm": 4.3,
        "equivalent_focal_length_mm": 35.0,
        "direction_is_magnetic": None,
        "taken": None,
    },
    "camera/chart-phone-portrait.jpg": {
        "width_px": 3024,
        "height_px": 4032,
        "latitude_deg": None,
        "longitude_deg": None,
        "direction_deg": None,
        "fix_height_m": None,
        "fix_error_m": None,
        "focal_length_mm": 5.7,
        "equivalent_focal_length_mm": 77.0,
        "direction_is_magnetic": None,
        "taken": dt.datetime.fromisoformat("2021-09-27T07:13:47"),
    },
}


@pytest.mark.skipif(not PHOTOS.is_dir(), reason="the folder of real photographs is not here")
@pytest.mark.parametrize("name", sorted(BY_EXIFTOOL))
def test_real_photographs_tell_what_exiftool_reads(name: str) -> None:
    facts = read_photo((PHOTOS / name).read_bytes())
    for field, value in BY_EXIFTOOL[name].items():
        got = getattr(facts, field)
        assert got == (pytest.approx(value, abs=1e-6) if isinstance(value, float) else value)


@pytest.mark.skipif(not PHOTOS.is_dir(), reason="the folder of real photographs is not here")
def test_every_real_photograph_is_read_and_copied() -> None:
    paths = sorted(PHOTOS.glob("woodland/*.jpg"))[:12]
    assert paths
    for path in paths:
        data = path.read_bytes()
        facts = read_photo(data)
        copy = opened(small_copy(data, 320))
        assert max(copy.size) == 320
        assert copy.width / copy.height == pytest.approx(
            facts.width_px / facts.height_px, rel=0.01
        )
