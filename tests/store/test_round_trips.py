"""What goes into the book comes out equal, whatever it is."""

import datetime as dt
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shivelight.basis.records import to_plain
from shivelight.outing.found import Found
from shivelight.outing.kept import (
    EveningNote,
    RasterNote,
    StoredCrowns,
    StoredForecast,
    StoredSkyline,
)
from shivelight.outing.kit import Kit
from shivelight.outing.outings import Outing
from shivelight.outing.pictures import Picture
from shivelight.outing.season_notes import SeasonNote
from shivelight.outing.spots import Spot
from shivelight.outing.woods import Wood
from shivelight.store import (
    crowns,
    evenings,
    forecasts,
    found,
    judgements,
    kit,
    outings,
    pictures,
    rasters,
    season_notes,
    skylines,
    spots,
    woods,
)
from shivelight.store import settings as facts
from shivelight.store.book import FieldBook
from tests import strategies as make
from tests.store.sample import (
    PINNET,
    PLUMB_AND_LEAN,
    SALLOWDEN,
    SIGNS,
    WHITE_POST_GAP,
    morning,
)

drawn = settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)


class UndoError(Exception):
    """Ends a transaction without keeping it."""


@contextmanager
def undone(book: FieldBook) -> Iterator[None]:
    """Undo what is written in the block, so that each example meets the same book."""
    with suppress(UndoError), book.writing():
        yield
        raise UndoError


@pytest.fixture(scope="module")
def shared() -> Iterator[FieldBook]:
    with (
        tempfile.TemporaryDirectory() as folder,
        FieldBook.open(Path(folder) / "book.sqlite", create=True) as book,
    ):
        woods.add(book, PINNET)
        woods.add(book, SALLOWDEN)
        spots.add(book, WHITE_POST_GAP)
        spots.add(book, PLUMB_AND_LEAN)
        yield book


IN_PINNET = st.just("Pinnet Heath")


@drawn
@given(wood=make.woods())
def test_a_wood_comes_back_equal(shared: FieldBook, wood: Wood) -> None:
    with undone(shared):
        woods.add(shared, wood)
        assert woods.get(shared, wood.name) == wood
        assert wood in woods.every(shared)


@drawn
@given(first=make.woods(), second=make.woods())
def test_a_wood_put_in_place_of_another_is_the_second(
    shared: FieldBook, first: Wood, second: Wood
) -> None:
    with undone(shared):
        woods.add(shared, first)
        put = Wood(**{**{n: getattr(second, n) for n in Wood.__slots__}, "name": first.name})
        woods.replace(shared, put)
        assert woods.get(shared, first.name) == put
        assert len(woods.every(shared)) == 3


@drawn
@given(spot=make.spots(IN_PINNET))
def test_a_spot_comes_back_equal(shared: FieldBook, spot: Spot) -> None:
    with undone(shared):
        spots.add(shared, spot)
        assert spots.get(shared, spot.name) == spot
        assert spot in spots.of_wood(shared, "Pinnet Heath")
        assert spot in spots.every(shared)
        assert spot not in spots.of_wood(shared, "Sallowden Hanger")


@drawn
@given(bag=make.kits())
def test_a_kit_comes_back_equal(shared: FieldBook, bag: Kit) -> None:
    with undone(shared):
        kit.replace(shared, bag)
        assert kit.get(shared) == bag


@drawn
@given(log=make.founds(IN_PINNET, st.sampled_from(("", "White Post Gap"))))
def test_a_log_comes_back_equal(shared: FieldBook, log: Found) -> None:
    with undone(shared):
        found.add(shared, log)
        assert found.of_wood(shared, "pinnet heath") == (log,)
        assert found.every(shared) == (log,)


@drawn
@given(
    outing=make.outings(
        st.sampled_from(("Pinnet Heath", "Sallowden Hanger")),
        st.sampled_from(("White Post Gap", "Plumb and Lean")),
    )
)
def test_an_outing_comes_back_equal(shared: FieldBook, outing: Outing) -> None:
    with undone(shared):
        outings.add(shared, outing)
        assert outings.get(shared, outing.day) == outing
        assert outings.every(shared) == (outing,)


@drawn
@given(forecast=make.stored_forecasts(IN_PINNET))
def test_a_forecast_comes_back_byte_for_byte(shared: FieldBook, forecast: StoredForecast) -> None:
    with undone(shared):
        number = forecasts.add(shared, forecast)
        assert forecasts.get(shared, number) == forecast
        assert forecasts.latest(shared, "Pinnet Heath") == forecast
        assert forecasts.latest(shared, "Pinnet Heath", forecast.kind) == forecast
        assert forecasts.latest(shared, "Sallowden Hanger") is None


@drawn
@given(kept=make.stored_skylines())
def test_a_skyline_comes_back_to_the_last_bit(shared: FieldBook, kept: StoredSkyline) -> None:
    with undone(shared):
        skylines.put(shared, "White Post Gap", kept)
        back = skylines.get(shared, "white post gap", kept.seen_from)
        assert back is not None
        np.testing.assert_array_equal(back.skyline.altitude_deg, kept.skyline.altitude_deg)
        if kept.skyline.reach_m is None:
            assert back.skyline.reach_m is None
        else:
            assert back.skyline.reach_m is not None
            np.testing.assert_array_equal(back.skyline.reach_m, kept.skyline.reach_m)
        assert (back.skyline.origin, back.made_utc, back.seen_from, back.parameters) == (
            kept.skyline.origin, kept.made_utc, kept.seen_from, kept.parameters,
        )  # fmt: skip


@drawn
@given(kept=make.stored_crowns())
def test_crowns_come_back_to_the_last_bit(shared: FieldBook, kept: StoredCrowns) -> None:
    with undone(shared):
        crowns.put(shared, "White Post Gap", kept)
        crowns.put(shared, "White Post Gap", kept)
        back = crowns.get(shared, "white post gap", kept.seen_from)
        assert back is not None
        for name in ("azimuth_deg", "altitude_deg", "path_m", "unseen_m"):
            np.testing.assert_array_equal(getattr(back, name), getattr(kept, name))
        assert (back.made_utc, back.seen_from, back.parameters) == (
            kept.made_utc, kept.seen_from, kept.parameters,
        )  # fmt: skip
        assert [name for name, _ in crowns.every(shared)] == ["White Post Gap"]


@drawn
@given(note=make.raster_notes())
def test_a_raster_note_comes_back_equal(shared: FieldBook, note: RasterNote) -> None:
    with undone(shared):
        rasters.attach(shared, "Pinnet Heath", note)
        rasters.attach(shared, "Pinnet Heath", note)
        assert rasters.of_wood(shared, "Pinnet Heath") == (note,)


@drawn
@given(note=make.evening_notes(IN_PINNET))
def test_an_evenings_values_come_back_equal(shared: FieldBook, note: EveningNote) -> None:
    with undone(shared):
        evenings.add(shared, note)
        assert evenings.of_wood(shared, "Pinnet Heath") == (note,)


@drawn
@given(picture=make.pictures(st.sampled_from(("", "White Post Gap"))))
def test_a_picture_comes_back_equal(shared: FieldBook, picture: Picture) -> None:
    with undone(shared):
        kept = pictures.add(shared, picture)
        assert kept == replace(picture, id=kept.id)
        assert pictures.get(shared, kept.id) == kept
        assert pictures.with_sha256(shared, picture.sha256) == kept
        assert pictures.of_spot(shared, picture.spot) == (kept,)
        assert pictures.every(shared) == (kept,)


@drawn
@given(note=make.season_notes())
def test_a_season_note_comes_back_equal(shared: FieldBook, note: SeasonNote) -> None:
    with undone(shared):
        season_notes.add(shared, "pinnet heath", note)
        season_notes.add(shared, "Pinnet Heath", note)
        assert season_notes.of_wood(shared, "Pinnet Heath") == (note,)
        assert season_notes.every(shared) == (("Pinnet Heath", note),)
        season_notes.remove(shared, "Pinnet Heath", note)
        assert season_notes.every(shared) == ()


@drawn
@given(key=make.names(), value=make.texts(200))
def test_a_setting_comes_back_equal(shared: FieldBook, key: str, value: str) -> None:
    with undone(shared):
        facts.put(shared, key, "before")
        facts.put(shared, key, value)
        assert facts.get(shared, key) == value
        assert facts.every(shared) == {key: value}


@drawn
@given(day=make.days(), made_utc=make.instants(), chance=make.numbers(0.0, 1.0))
def test_a_judgement_comes_back_equal(
    shared: FieldBook, day: dt.date, made_utc: np.datetime64, chance: float
) -> None:
    said = morning(day=day, made_utc=made_utc, chance_frac=chance)
    with undone(shared):
        judgements.add(shared, said, signs=SIGNS)
        back = judgements.latest(shared, said.day)
        assert back is not None
        assert to_plain(back) == to_plain(said)
        (row,) = judgements.given(shared, "Pinnet Heath")
        assert (row.day, row.made_utc, row.chance_frac) == (said.day, made_utc, chance)
        assert row.signs == SIGNS["Pinnet Heath"]
