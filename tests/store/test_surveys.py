"""Surveys, wishes of pictures, stands and anchors come out of the book as they went in."""

import tempfile
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shivelight.basis.errors import BadInputError, NotFoundError, UnreadableFileError
from shivelight.outing.marks import LostAnchor, MarkAnchors, NotedDistance, NotedTransit
from shivelight.outing.surveys import KeptFraming, KeptStand, KeptSurvey
from shivelight.scene.anchors import Side
from shivelight.scene.elements import (
    ClosedGround,
    Doubt,
    Role,
    Segment,
    SkyHole,
    Slope,
    Survey,
    trunk_at,
)
from shivelight.scene.framing import Framing, Reach
from shivelight.store import marks, spots, surveys
from shivelight.store.book import FieldBook
from shivelight.store.transfer import export_text, import_text
from tests.store.sample import ANCHORS, FRAMING, STAND, SURVEY, fill
from tests.strategies import names

SPOT = "Plumb and Lean"
drawn = settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
metres = st.floats(-50.0, 50.0)
doubts = st.builds(
    Doubt,
    distance_m=st.floats(0.0, 3.0),
    angle_deg=st.floats(0.0, 5.0),
    width_m=st.floats(0.0, 0.5),
)
roles = st.sampled_from(Role)


@st.composite
def kept_surveys(draw: st.DrawFn) -> KeptSurvey:
    """Draw a survey: trunks on a grid, so that none stands in another, and a bit of the rest."""
    words = draw(st.lists(names(), min_size=8, max_size=8, unique_by=str.casefold))
    trunks = tuple(
        trunk_at(
            words[number],
            30.0 * number - 30.0,
            distance_m=draw(st.floats(4.0, 200.0)),
            width_m=draw(st.floats(0.01, 1.5)),
            height_m=draw(st.floats(0.5, 40.0)),
            lean_right_deg=draw(st.floats(-30.0, 30.0)),
            role=draw(roles),
            doubt=draw(doubts),
        )
        for number in range(draw(st.integers(0, 3)))
    )
    segments = tuple(
        Segment(
            name=words[3],
            start_m=(draw(metres), draw(metres), draw(st.floats(0.0, 20.0))),
            end_m=(draw(metres), draw(metres), 21.0),
            width_m=draw(st.floats(0.01, 1.0)),
            role=draw(roles),
            doubt=draw(doubts),
        )
        for _ in range(draw(st.integers(0, 1)))
    )
    holes = tuple(
        SkyHole(
            name=words[4],
            angle_deg=draw(st.floats(-40.0, 40.0)),
            altitude_deg=draw(st.floats(0.0, 60.0)),
            width_deg=draw(st.floats(0.1, 20.0)),
            height_deg=draw(st.floats(0.1, 20.0)),
        )
        for _ in range(draw(st.integers(0, 1)))
    )
    corners = tuple(draw(st.lists(st.tuples(metres, metres), min_size=3, max_size=5)))
    closed = (
        ClosedGround(name=words[5], corners_m=corners),
        ClosedGround(name=words[6], centre_m=(draw(metres), draw(metres)), radius_m=9.0),
    )[: draw(st.integers(0, 2))]
    survey = Survey(
        trunks=trunks,
        segments=segments,
        holes=holes,
        closed=closed,
        slope=Slope(rise_forward_frac=draw(st.floats(-1.0, 1.0))),
        scale_doubt_frac=draw(st.floats(0.0, 0.2)),
    )
    how = {name: "10 paces" for name in survey.names if draw(st.booleans())}
    return KeptSurvey(spot=SPOT, survey=survey, how=how)


framings = st.builds(
    KeptFraming,
    spot=st.just(SPOT),
    framing=st.builds(
        Framing,
        parts=st.just((("Plumb", "Lean"),)),
        subject_place=st.none() | st.just((0.1, None, 0.05)) | st.just((-0.1, 0.2, 0.05)),
        out=st.none() | st.just(()) | st.just(("rail",)),
        least_gap_deg=st.floats(0.0, 5.0),
        focal_lengths_mm=st.lists(st.floats(20.0, 200.0), max_size=3).map(tuple),
    ),
    reach=st.builds(Reach, left_m=st.floats(0.0, 2.0), low_m=st.none() | st.floats(0.3, 1.0)),
)
anchors = st.builds(
    MarkAnchors,
    spot=st.just(SPOT),
    transits=st.lists(
        st.builds(
            NotedTransit,
            near=st.just("white post"),
            far=st.just("split birch"),
            near_side=st.sampled_from(Side),
            far_side=st.sampled_from(Side),
        ),
        max_size=3,
    ).map(tuple),
    distances=st.lists(
        st.builds(
            NotedDistance,
            to=names(),
            distance_m=st.floats(0.1, 200.0),
            doubt_m=st.floats(0.0, 5.0),
            how=st.sampled_from(("", "12 paces")),
        ),
        max_size=3,
        unique_by=lambda one: one.to.casefold(),
    ).map(tuple),
    lost=st.lists(st.builds(LostAnchor, name=names(), noted_on=st.dates()), max_size=2).map(tuple),
)


@pytest.fixture(scope="module")
def shared() -> Iterator[FieldBook]:
    """Open one book of the valley for all examples; each writes over the last."""
    with (
        tempfile.TemporaryDirectory() as folder,
        FieldBook.open(Path(folder) / "book.sqlite", create=True) as book,
    ):
        fill(book)
        yield book


@drawn
@given(kept=kept_surveys())
def test_a_survey_comes_out_equal(shared: FieldBook, kept: KeptSurvey) -> None:
    surveys.put(shared, kept)
    assert surveys.get(shared, SPOT) == kept


@drawn
@given(kept=framings)
def test_a_wish_of_a_picture_comes_out_equal(shared: FieldBook, kept: KeptFraming) -> None:
    surveys.put_framing(shared, kept)
    assert surveys.get_framing(shared, SPOT) == kept


@drawn
@given(kept=anchors)
def test_anchors_come_out_equal(shared: FieldBook, kept: MarkAnchors) -> None:
    marks.put(shared, kept)
    assert marks.get(shared, SPOT) == kept


@settings(parent=drawn, max_examples=15)
@given(kept=kept_surveys(), wish=framings, held=anchors)
def test_all_of_it_survives_export_and_import(
    shared: FieldBook, empty_file: Path, kept: KeptSurvey, wish: KeptFraming, held: MarkAnchors
) -> None:
    surveys.put(shared, kept)
    surveys.put_framing(shared, wish)
    marks.put(shared, held)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "again.sqlite"
        path.write_bytes(empty_file.read_bytes())
        with FieldBook.open(path) as book:
            import_text(book, export_text(shared))
            assert surveys.get(book, SPOT) == kept
            assert surveys.get_framing(book, SPOT) == wish
            assert surveys.stands_of(book, SPOT) == (STAND,)
            assert marks.get(book, SPOT) == held


def test_what_the_valley_holds(valley: FieldBook) -> None:
    assert surveys.every(valley) == (SURVEY,)
    assert surveys.every_framing(valley) == (FRAMING,)
    assert surveys.every_stand(valley) == (STAND,)
    assert marks.every(valley) == (ANCHORS,)
    assert surveys.get(valley, "White Post Gap") is None
    assert surveys.get_framing(valley, "White Post Gap") is None
    assert surveys.stands_of(valley, "White Post Gap") == ()
    assert marks.get(valley, "White Post Gap") == MarkAnchors(spot="White Post Gap")


def test_the_same_stand_is_kept_once_and_a_later_one_beside_it(valley: FieldBook) -> None:
    surveys.add_stand(valley, STAND)
    later = KeptStand(
        spot=SPOT,
        kept_utc=np.datetime64("2027-11-12T08:00:00", "us"),
        x_m=0.6,
        y_m=0.1,
        z_m=1.2,
        focal_length_mm=35.0,
    )
    surveys.add_stand(valley, later)
    assert surveys.stands_of(valley, "plumb and lean") == (STAND, later)


def test_a_spot_with_a_survey_is_not_removed(valley: FieldBook) -> None:
    with pytest.raises(BadInputError, match=r"survey"):
        spots.remove(valley, SPOT)
    assert surveys.get(valley, SPOT) == SURVEY


@pytest.mark.parametrize("read", [surveys.get, surveys.get_framing, surveys.stands_of, marks.get])
def test_a_spot_that_is_not_there_is_named(valley: FieldBook, read: object) -> None:
    assert callable(read)
    with pytest.raises(NotFoundError, match="No spot named 'Plum"):
        read(valley, "Plum and Leap")


def test_a_damaged_wish_is_told(valley: FieldBook) -> None:
    with valley.writing() as tx:
        tx.exec_driver_sql("UPDATE framing SET framing_json = '{'")
    with pytest.raises(UnreadableFileError, match="damaged wish of a picture"):
        surveys.every_framing(valley)
