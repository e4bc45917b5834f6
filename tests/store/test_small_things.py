"""Skylines, rasters, evenings, settings and counts."""

import shutil
import sqlite3
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from shivelight.basis.errors import (
    BadInputError,
    NotFoundError,
    OutOfRangeError,
    UnreadableFileError,
    UnwritableError,
)
from shivelight.land.skyline import level_skyline
from shivelight.outing.kept import EveningNote, RasterNote, StoredForecast, StoredSkyline
from shivelight.outing.kit import Kit
from shivelight.store import crowns, evenings, kit, rasters, settings, skylines
from shivelight.store.book import FieldBook
from shivelight.store.contents import Contents, contents
from shivelight.store.refusals import in_words
from tests.store.sample import CROWNS, EVENING, RASTER, SKYLINE, TYPED


def test_a_skyline_takes_the_place_of_the_one_seen_from_the_same_place(valley: FieldBook) -> None:
    level = StoredSkyline(skyline=level_skyline(step_deg=90.0), made_utc=EVENING)
    from_subject = replace(level, seen_from="subject")
    skylines.put(valley, "White Post Gap", level)
    skylines.put(valley, "White Post Gap", from_subject)
    kept = skylines.get(valley, "White Post Gap")
    assert kept is not None
    np.testing.assert_array_equal(kept.skyline.altitude_deg, np.zeros(4))
    assert kept.parameters == {}
    assert [one.seen_from for _, one in skylines.every(valley)] == ["subject", "stand point"]


def test_a_spot_without_skyline_has_none(valley: FieldBook) -> None:
    assert skylines.get(valley, "Plumb and Lean") is None
    assert skylines.get(valley, "White Post Gap", "subject") is None
    skylines.drop(valley, "White Post Gap")
    assert skylines.get(valley, "White Post Gap") is None
    with pytest.raises(NotFoundError, match="No spot named 'Root Stair'"):
        skylines.put(valley, "Root Stair", SKYLINE)


def test_a_skyline_cut_short_is_told(valley: FieldBook) -> None:
    with valley.writing() as tx:
        tx.exec_driver_sql("UPDATE skyline SET altitude_deg = x'0011'")
    with pytest.raises(UnreadableFileError, match="a row of numbers that is cut short"):
        skylines.get(valley, "White Post Gap")


def test_crowns_take_the_place_of_those_seen_from_the_same_place(valley: FieldBook) -> None:
    again = replace(CROWNS, path_m=CROWNS.path_m + 1.0, parameters={})
    crowns.put(valley, "White Post Gap", again)
    crowns.put(valley, "White Post Gap", replace(again, seen_from="subject"))
    kept = crowns.get(valley, "White Post Gap")
    assert kept is not None
    np.testing.assert_array_equal(kept.path_m, again.path_m)
    assert kept.parameters == {}
    assert [one.seen_from for _, one in crowns.every(valley)] == ["subject", "stand point"]
    crowns.drop(valley, "White Post Gap")
    assert crowns.get(valley, "White Post Gap") is None
    assert crowns.every(valley) == ()
    with pytest.raises(NotFoundError, match="No spot named 'Root Stair'"):
        crowns.put(valley, "Root Stair", CROWNS)


def test_crowns_cut_short_are_told(valley: FieldBook) -> None:
    with valley.writing() as tx:
        tx.exec_driver_sql("UPDATE crown_table SET path_m = substr(path_m, 1, 16)")
    with pytest.raises(UnreadableFileError, match="a crown table that is cut short"):
        crowns.get(valley, "White Post Gap")


def test_crowns_seen_from_nowhere_are_refused() -> None:
    with pytest.raises(BadInputError, match="seen from one of: stand point, subject"):
        replace(CROWNS, seen_from="afar")
    with pytest.raises(BadInputError, match="one row a bearing"):
        replace(CROWNS, unseen_m=CROWNS.unseen_m[:2])


def test_a_spoiled_time_or_day_is_told(valley: FieldBook) -> None:
    with valley.writing() as tx:
        tx.exec_driver_sql("UPDATE skyline SET made_utc = 'yesterday'")
        tx.exec_driver_sql("UPDATE evening SET typed_utc = '2027-13-01T00:00:00.000000Z'")
    with pytest.raises(UnreadableFileError, match="holds 'yesterday' where a time should be"):
        skylines.get(valley, "White Post Gap")
    with pytest.raises(UnreadableFileError, match="which is no time"):
        evenings.every(valley)


def test_rasters_keep_their_order_and_change_their_units(valley: FieldBook) -> None:
    canopy = RasterNote(kind="canopy", path="crowns.tif")
    rasters.attach(valley, "Pinnet Heath", canopy)
    rasters.attach(valley, "Pinnet Heath", replace(RASTER, height_unit="ft", crs="EPSG:27700"))
    assert rasters.of_wood(valley, "pinnet heath") == (
        replace(RASTER, height_unit="ft", crs="EPSG:27700"), canopy,
    )  # fmt: skip
    rasters.detach(valley, "Pinnet Heath", "crowns.tif")
    assert len(rasters.of_wood(valley, "Pinnet Heath")) == 1
    assert rasters.of_wood(valley, "Sallowden Hanger") == ()
    with pytest.raises(NotFoundError, match=r"Pinnet Heath has no raster 'crowns.tif'"):
        rasters.detach(valley, "Pinnet Heath", "crowns.tif")


def test_evenings_typed_again_take_the_place_of_the_former(valley: FieldBook) -> None:
    again = replace(TYPED, temperature_degc=6.0)
    later = replace(TYPED, typed_utc=EVENING + np.timedelta64(1, "D"), note="next")
    evenings.add(valley, again)
    evenings.add(valley, later)
    assert evenings.of_wood(valley, "Pinnet Heath") == (again, later)
    assert evenings.of_wood(valley, "Sallowden Hanger") == ()


def test_an_unset_key_is_none(valley: FieldBook) -> None:
    assert settings.get(valley, "nothing") is None


def test_an_empty_book_has_an_empty_kit(book: FieldBook) -> None:
    assert kit.get(book) == Kit()


def test_the_book_is_counted(valley: FieldBook) -> None:
    assert contents(valley) == Contents(
        woods=2, spots=2, forecasts=1, judgements=1, outings=1, mornings_logged=2
    )


def test_kept_values_refuse_what_makes_no_sense() -> None:
    with pytest.raises(BadInputError, match="A raster is one of: ground, canopy, surface"):
        RasterNote(kind="map", path="a.tif")
    with pytest.raises(BadInputError, match="Heights are in m or ft, not 'yd'"):
        RasterNote(kind="ground", path="a.tif", height_unit="yd")
    with pytest.raises(BadInputError, match="needs the name of its file"):
        RasterNote(kind="ground", path=" ")
    with pytest.raises(BadInputError, match="seen from one of: stand point, subject"):
        replace(SKYLINE, seen_from="moon")
    with pytest.raises(BadInputError, match="making time is not known"):
        replace(SKYLINE, made_utc=np.datetime64("NaT"))
    with pytest.raises(BadInputError, match="must say of which kind"):
        StoredForecast(wood="a", kind="", payload=b"", fetched_utc=EVENING)
    with pytest.raises(BadInputError, match="time of issue is not known"):
        StoredForecast(
            wood="a", kind="k", payload=b"", fetched_utc=EVENING, issued_utc=np.datetime64("NaT")
        )
    with pytest.raises(OutOfRangeError, match="humidity is 62; it must be 0 to 1"):
        EveningNote(wood="a", typed_utc=EVENING, humidity_frac=62.0)
    with pytest.raises(BadInputError, match="ground 'muddy' is not one of: dry, wet"):
        EveningNote(wood="a", typed_utc=EVENING, ground="muddy")


@pytest.mark.parametrize(("free", "told"), [(1000, "The disk is full"), (10**9, "Check the disk")])
def test_a_disk_that_fails_for_want_of_room_is_called_full(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, free: int, told: str
) -> None:
    monkeypatch.setattr(shutil, "disk_usage", lambda _: SimpleNamespace(free=free))
    why = sqlite3.OperationalError("disk I/O error")
    why.sqlite_errorcode = sqlite3.SQLITE_IOERR_WRITE
    with pytest.raises(UnwritableError, match=told), in_words(tmp_path / "book.sqlite"):
        raise why
