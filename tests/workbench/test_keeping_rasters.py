"""Rasters sent through a page: kept under names of our own, and nothing else is let in."""

import errno
import hashlib
import os
import re
import shutil
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
import rasterio
from hypothesis import given
from hypothesis import strategies as st
from rasterio.transform import from_origin

from shivelight.basis.errors import (
    BadInputError,
    MissingDataError,
    NotFoundError,
    ShivelightError,
    UnreadableFileError,
    UnwritableError,
)
from shivelight.basis.places import destination
from shivelight.intake.elevation import read_ground
from shivelight.workbench.bench import Workbench
from shivelight.workbench.demo_ground import write_valley_ground
from shivelight.workbench.demo_valley import valley
from shivelight.workbench.keeping_rasters import RasterDesk, slug
from shivelight.workbench.settings import Settings

WOOD = "Threll Clough"
VRT = """<VRTDataset rasterXSize="4" rasterYSize="4"><SRS>EPSG:27700</SRS>
<GeoTransform>0, 1, 0, 0, 0, -1</GeoTransform><VRTRasterBand dataType="Float32" band="1">
<SimpleSource><SourceFilename relativeToVRT="0">{other}</SourceFilename></SimpleSource>
</VRTRasterBand></VRTDataset>"""


@pytest.fixture
def desk(spots: Workbench) -> RasterDesk:
    """Give the desk over the valley's book."""
    return RasterDesk(spots.book, spots.settings, spots.now_utc)


@pytest.fixture
def ground(tmp_path: Path) -> Path:
    """Write the valley's ground."""
    return write_valley_ground(tmp_path / "Valley Ground.tif", valley().origin)


def send(desk: RasterDesk, file: Path, name: str | None = None) -> Path:
    """Send a copy of a file, as a page does."""
    part = file.with_name("upload.part")
    shutil.copy(file, part)
    digest = hashlib.sha256(file.read_bytes()).hexdigest()
    try:
        return desk.keep_raster_file(part, name=name or file.name, sha256=digest)
    finally:
        assert not part.exists()


def test_a_raster_is_kept_beside_the_book_and_attached(desk: RasterDesk, ground: Path) -> None:
    kept = send(desk, ground)
    assert kept.parent == desk.raster_folder() == desk.book.path.with_name("empty-rasters")
    digest = hashlib.sha256(ground.read_bytes()).hexdigest()
    assert kept.name == f"valley-ground-{digest[:8]}.tif"
    assert kept.read_bytes() == ground.read_bytes()
    told: list[tuple[str, int, int]] = []
    notes = desk.attach_uploaded(WOOD, [kept], progress=lambda *step: told.append(step))
    assert [note.path for note in notes] == [str(kept)]
    assert told[-1][1:] == (1, 1)
    assert send(desk, ground) == kept


def test_another_file_of_the_same_name_does_not_take_its_place(
    desk: RasterDesk, ground: Path
) -> None:
    kept = send(desk, ground)
    kept.write_bytes(b"II*\x00 something else")
    again = send(desk, ground)
    assert again != kept
    assert again.read_bytes() == ground.read_bytes()


def test_a_raster_that_covers_nothing_is_removed_again(desk: RasterDesk, tmp_path: Path) -> None:
    far = destination(valley().origin, azimuth_deg=0.0, distance_m=300_000.0)
    kept = send(desk, write_valley_ground(tmp_path / "far.tif", far))
    with pytest.raises(MissingDataError, match="covers neither the parking place"):
        desk.attach_uploaded(WOOD, [kept])
    assert list(desk.raster_folder().iterdir()) == []
    assert not desk.wood(WOOD).rasters


def test_a_refused_raster_that_another_wood_has_stays(desk: RasterDesk, ground: Path) -> None:
    kept = send(desk, ground)
    desk.attach_uploaded(WOOD, [kept])
    with pytest.raises(NotFoundError):
        desk.attach_uploaded("Nowhere Wood", [kept])
    assert kept.exists()


def test_a_raster_is_detached_and_its_copy_goes_when_no_wood_has_it(
    desk: RasterDesk, ground: Path
) -> None:
    kept = send(desk, ground)
    desk.attach_uploaded(WOOD, [kept])
    desk.attach_uploaded("Sallowden Hanger", [kept])
    assert desk.detach_raster(WOOD, kept.name, delete_copy=True) == ()
    assert kept.exists()
    with pytest.raises(NotFoundError, match="it has none yet"):
        desk.detach_raster(WOOD, kept.name)
    assert desk.detach_raster("Sallowden Hanger", str(kept), delete_copy=True) == ()
    assert not kept.exists()


def test_a_file_of_the_photographers_own_is_never_deleted(desk: RasterDesk, ground: Path) -> None:
    desk.attach_raster(WOOD, [ground])
    assert desk.detach_raster(WOOD, ground.name, delete_copy=True) == ()
    assert ground.exists()
    with pytest.raises(BadInputError, match="did not come through a page"):
        desk.attach_uploaded(WOOD, [ground])
    with pytest.raises(BadInputError, match="did not come through a page"):
        desk.attach_uploaded(WOOD, [desk.raster_folder() / ".." / ground.name])
    assert ground.exists()


def test_two_rasters_of_one_name_are_told_apart_by_their_path(
    desk: RasterDesk, ground: Path, tmp_path: Path
) -> None:
    (tmp_path / "deep").mkdir()
    other = tmp_path / "deep" / ground.name
    shutil.copy(ground, other)
    desk.attach_raster(WOOD, [ground])
    desk.attach_raster(WOOD, [other])
    with pytest.raises(BadInputError, match="has 2 rasters"):
        desk.detach_raster(WOOD, ground.name)
    assert [note.path for note in desk.detach_raster(WOOD, str(other))] == [str(ground)]


@pytest.mark.parametrize("name", ["valley.tif", "valley.asc"])
def test_a_list_of_other_files_is_refused_whatever_its_name(
    desk: RasterDesk, ground: Path, tmp_path: Path, name: str
) -> None:
    """A VRT would make GDAL open the file that it names; ours is one that could be read."""
    sent = tmp_path / name
    sent.write_text(VRT.format(other=ground), encoding="utf-8")
    with pytest.raises(UnreadableFileError, match="not a raster that can be read"):
        send(desk, sent)
    assert list(desk.raster_folder().iterdir()) == []
    with rasterio.open(sent) as data:  # GDAL itself would follow it
        assert data.driver == "VRT"
        assert str(ground) in data.files
    with pytest.raises(UnreadableFileError):
        read_ground([sent], around=valley().origin, radius_m=500.0)


def test_a_format_that_may_name_other_files_is_refused_by_its_content(
    desk: RasterDesk, tmp_path: Path
) -> None:
    sent = tmp_path / "valley.tif"
    with rasterio.open(
        sent, "w", driver="HFA", width=4, height=4, count=1, dtype="float32",
        transform=from_origin(0, 4, 1, 1), crs="EPSG:27700",
    ) as data:  # fmt: skip
        data.write(np.ones((1, 4, 4), dtype=np.float32))
    with pytest.raises(UnreadableFileError, match="give a GeoTIFF or an ESRI ASCII grid"):
        send(desk, sent)


@pytest.mark.parametrize("name", ["a.vrt", "a.img", "a.exe", "a", ".tif/..", "tif", "a.tif.gz"])
def test_a_name_with_another_ending_is_refused(desk: RasterDesk, ground: Path, name: str) -> None:
    with pytest.raises(BadInputError, match="is named like no raster"):
        send(desk, ground, name)


def test_an_ascii_grid_wants_its_coordinate_system(desk: RasterDesk, tmp_path: Path) -> None:
    parking = desk.wood(WOOD).wood.parking
    west, south = parking.longitude_deg - 0.02, parking.latitude_deg - 0.02
    rows = "\n".join(" ".join(["120"] * 80) for _ in range(80))
    sent = tmp_path / "ground.txt"
    sent.write_text(
        f"ncols 80\nnrows 80\nxllcorner {west}\nyllcorner {south}\ncellsize 0.0005\n{rows}\n"
    )
    kept = send(desk, sent)
    assert kept.suffix == ".asc"
    with pytest.raises(MissingDataError, match="has no coordinate system"):
        desk.attach_uploaded(WOOD, [kept])
    assert list(desk.raster_folder().iterdir()) == []
    with pytest.raises(BadInputError, match="coordinate system owl is not known"):
        desk.attach_uploaded(WOOD, [send(desk, sent)], crs="owl")
    assert list(desk.raster_folder().iterdir()) == []
    kept = send(desk, sent)
    (note,) = desk.attach_uploaded(WOOD, [kept], crs="EPSG:4326")
    assert note.path == str(kept)
    desk.detach_raster(WOOD, kept.name, delete_copy=True)
    assert list(desk.raster_folder().iterdir()) == []


def test_what_is_too_large_or_has_no_room_is_refused_before_it_comes(
    desk: RasterDesk, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk.check_raster_room(1_000)
    with pytest.raises(BadInputError, match="3000 MB; 2000 MB is the most"):
        desk.check_raster_room(3_000_000_000)
    monkeypatch.setattr(shutil, "disk_usage", lambda _: SimpleNamespace(free=900_000_000))
    desk.check_raster_room(700_000_000)
    with pytest.raises(UnwritableError, match="900 MB free; this raster wants 701 MB"):
        desk.check_raster_room(701_000_000)


def test_a_file_larger_than_said_is_refused_when_it_is_there(
    spots: Workbench, ground: Path
) -> None:
    small = Settings(book=spots.settings.book, most_raster_mb=1)
    desk = RasterDesk(spots.book, small, spots.now_utc)
    assert ground.stat().st_size > 1_000_000
    with pytest.raises(BadInputError, match="2 MB; 1 MB is the most"):
        send(desk, ground)


def test_a_file_comes_from_another_disk_too(
    desk: RasterDesk, ground: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    replace = Path.replace

    def other_disk(self: Path, target: Any) -> Path:
        if self.name == "upload.part":
            raise OSError(errno.EXDEV, os.strerror(errno.EXDEV))
        return replace(self, target)

    monkeypatch.setattr(Path, "replace", other_disk)
    assert send(desk, ground).read_bytes() == ground.read_bytes()
    assert len(list(desk.raster_folder().iterdir())) == 1


def test_a_disk_that_refuses_leaves_nothing_behind(
    desk: RasterDesk, ground: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> Path:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    desk.raster_folder()
    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(UnwritableError, match="No space left on device"):
        send(desk, ground)
    assert list(desk.raster_folder().iterdir()) == []


@pytest.mark.parametrize("digest", ["", "../../x", "A" * 64, "0" * 63])
def test_a_fingerprint_that_is_none_is_refused(
    desk: RasterDesk, ground: Path, digest: str
) -> None:
    part = ground.with_name("upload.part")
    shutil.copy(ground, part)
    with pytest.raises(BadInputError, match="fingerprint"):
        desk.keep_raster_file(part, name="a.tif", sha256=digest)
    assert not part.exists()


@given(st.text(max_size=80) | st.sampled_from(["../../etc/passwd", "C:\\a\\b.tif", "Ä Hügel.tif"]))
def test_a_name_is_made_plain_and_never_a_path(name: str) -> None:
    assert re.fullmatch(r"[a-z0-9](?:[a-z0-9-]{0,38}[a-z0-9])?", slug(name))


def test_a_name_is_still_known_again() -> None:
    assert slug("C:\\maps\\Wennick Ground (1 m).tif") == "wennick-ground-1-m"
    assert slug("谷.tif") == "raster"
    assert len(slug("a" * 100 + ".tif")) == 40


def test_every_refusal_is_one_of_ours(desk: RasterDesk, tmp_path: Path) -> None:
    for content in (b"", b"II*\x00", b"ncols 2", b"\x00" * 600, b"ncols 2\nnrows x\n"):
        sent = tmp_path / "valley.tif"
        sent.write_bytes(content)
        with pytest.raises(ShivelightError):
            desk.attach_uploaded(WOOD, [send(desk, sent)])
        assert list(desk.raster_folder().iterdir()) == []
