"""Plain JSON: what goes out comes back equal, and what is wrong is named with its place."""

import datetime as dt
import json
import math
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.air.forecast import QUANTITIES, Ensemble
from shivelight.basis.arrays import BoolArray, FloatArray, IntArray, UtcArray
from shivelight.basis.errors import ShivelightError, UnreadableFileError
from shivelight.basis.places import Position
from shivelight.basis.records import from_plain, instant_from, instant_text, to_plain
from shivelight.land.skyline import Skyline
from shivelight.outing.kept import StoredForecast
from shivelight.outing.spots import Spot
from shivelight.outing.woods import Privacy
from tests import strategies as make


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Many:
    """One field of every sort."""

    number: float
    count: int
    yes: bool
    text: str
    raw: bytes
    day: dt.date
    utc: np.datetime64
    privacy: Privacy
    maybe: float | None
    maybe_utc: np.datetime64 | None
    pair: tuple[float, str]
    texts: tuple[str, ...]
    inner: tuple[Position, ...]
    named: dict[str, float] = field(default_factory=dict)
    row: FloatArray
    grid: FloatArray
    flags: BoolArray
    counts: IntArray
    times: UtcArray


def sample(**changed: Any) -> Many:
    """Make one of everything."""
    values: dict[str, Any] = {
        "number": 1.5,
        "count": 3,
        "yes": True,
        "text": "Plumb and Lean",
        "raw": b"\x00\xffabc",
        "day": dt.date(2027, 11, 3),
        "utc": np.datetime64("2027-11-03T07:38:00", "us"),
        "privacy": Privacy.NEVER,
        "maybe": None,
        "maybe_utc": None,
        "pair": (2.0, "m"),
        "texts": ("a", "b"),
        "inner": (Position(latitude_deg=53.0, longitude_deg=-5.1),),
        "named": {"spread_k": 1.8},
        "row": np.array([1.0, np.nan, 2.0 / 3.0]),
        "grid": np.array([[1.0, 2.0], [np.nan, 4.0]]),
        "flags": np.array([True, False]),
        "counts": np.array([1, 2, 3]),
        "times": np.array(["2027-11-03T07:00", "NaT"], dtype="datetime64[us]"),
    }
    return Many(**{**values, **changed})


def test_the_plain_form_is_what_it_says() -> None:
    assert to_plain(sample()) == {
        "number": 1.5,
        "count": 3,
        "yes": True,
        "text": "Plumb and Lean",
        "raw": "AP9hYmM=",
        "day": "2027-11-03",
        "utc": "2027-11-03T07:38:00Z",
        "privacy": "never",
        "maybe": None,
        "maybe_utc": None,
        "pair": [2.0, "m"],
        "texts": ["a", "b"],
        "inner": [{"latitude_deg": 53.0, "longitude_deg": -5.1, "ground_height_m": None}],
        "named": {"spread_k": 1.8},
        "row": [1.0, None, 2.0 / 3.0],
        "grid": [[1.0, 2.0], [None, 4.0]],
        "flags": [True, False],
        "counts": [1, 2, 3],
        "times": ["2027-11-03T07:00:00Z", None],
    }


def test_everything_comes_back_through_text() -> None:
    one = sample(maybe=0.25, maybe_utc=np.datetime64("2027-11-03T07:38:00.25", "us"))
    back = from_plain(Many, json.loads(json.dumps(to_plain(one), allow_nan=False)))
    for name in Many.__slots__:
        before, after = getattr(one, name), getattr(back, name)
        if isinstance(before, np.ndarray):
            np.testing.assert_array_equal(after, before)
            assert after.dtype == before.dtype
        else:
            assert after == before
            assert type(after) is type(before)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_a_number_that_is_not_finite_becomes_null(value: float) -> None:
    plain = to_plain(sample(number=value, maybe=value, named={"a": value}, row=np.array([value])))
    assert (plain["number"], plain["maybe"], plain["named"], plain["row"]) == (
        None, None, {"a": None}, [None],
    )  # fmt: skip
    back = from_plain(Many, plain)
    assert math.isnan(back.number)
    assert back.maybe is None
    assert np.isnan(back.row).all()


def test_not_a_time_becomes_null() -> None:
    plain = to_plain(sample(utc=np.datetime64("NaT"), maybe_utc=np.datetime64("NaT")))
    assert plain["utc"] is None
    back = from_plain(Many, plain)
    assert np.isnat(back.utc)
    assert back.maybe_utc is None


def test_numbers_of_numpy_become_plain_ones() -> None:
    plain = to_plain([np.float64(1.5), np.bool_(True)])
    assert plain == [1.5, True]
    assert [type(one) for one in plain] == [float, bool]


def test_a_whole_number_will_do_for_a_number() -> None:
    assert from_plain(Many, {**to_plain(sample()), "number": 2}).number == 2.0
    assert from_plain(Many, {**to_plain(sample()), "count": 2.0}).count == 2


@pytest.mark.parametrize(
    ("name", "value", "sentence"),
    [
        ("number", "1.5", r"'1\.5' is no number @ \$\.number"),
        ("number", True, r"True is no number @ \$\.number"),
        ("number", 10**400, r"a number is too big @ \$\.number"),
        ("maybe", "x", r"'x' is no number @ \$\.maybe"),
        ("count", 2.5, r"2\.5 is no whole number @ \$\.count"),
        ("count", True, r"True is no whole number @ \$\.count"),
        ("yes", "false", r"'false' is neither true nor false @ \$\.yes"),
        ("yes", 1, r"1 is neither true nor false @ \$\.yes"),
        ("text", 5, r"5 is no text @ \$\.text"),
        ("text", None, r"None is no text @ \$\.text"),
        ("raw", "%%%", r"the Base64 text is damaged @ \$\.raw"),
        ("raw", "YQ=", r"the Base64 text is damaged @ \$\.raw"),
        ("day", "03/11/2027", r"'03/11/2027' is no day; write it as 2027-11-03 @ \$\.day"),
        ("day", 20271103, r"20271103 is no day"),
        ("utc", "2027-11-03T07:38", r"has no zone; end it with Z or an offset @ \$\.utc"),
        ("utc", "soon", r"'soon' is not a time"),
        ("utc", 5, r"5 is not a time"),
        ("maybe_utc", "soon", r"'soon' is not a time.* @ \$\.maybe_utc"),
        ("privacy", "secret", r"'secret' is not one of: open, district, never @ \$\.privacy"),
        ("privacy", 1, r"1 is no text @ \$\.privacy"),
        ("pair", [1.0], r"@ \$\.pair"),
        ("pair", [1.0, "m", "n"], r"@ \$\.pair"),
        ("pair", ["m", "m"], r"'m' is no number @ \$\.pair\[0\]"),
        ("texts", "ab", r"a list of texts is wanted @ \$\.texts"),
        ("texts", ["a", 1], r"1 is no text @ \$\.texts"),
        ("inner", 5, r"a list is wanted @ \$\.inner"),
        ("inner", [5], r"a group of named values is wanted @ \$\.inner\[0\]"),
        ("inner", [{"latitude_deg": 1.0}], r"longitude_deg is missing @ \$\.inner\[0\]"),
        (
            "inner",
            [{"latitude_deg": 91.0, "longitude_deg": 0.0}],
            r"latitude is 91 °; it must be -90 to 90 ° @ \$\.inner\[0\]",
        ),
        ("named", [1], r"@ \$\.named"),
        ("named", {"a": "x"}, r"'x' is no number @ \$\.named\['a'\]"),
        ("row", "123", r"a list of values is wanted @ \$\.row"),
        ("row", [1.0, "x"], r"'x' is no number @ \$\.row"),
        ("row", [1.0, "2.0"], r"'2\.0' is no number @ \$\.row"),
        ("grid", [[1.0], [1.0, 2.0]], r"@ \$\.grid"),
        ("flags", [1], r"1 is neither true nor false @ \$\.flags"),
        ("counts", [1.5], r"1\.5 is no whole number @ \$\.counts"),
        ("times", ["07:00"], r"@ \$\.times"),
        ("extra", 1, r"nothing is known of extra @ \$"),
    ],
)
def test_what_is_wrong_is_named_with_its_place(name: str, value: Any, sentence: str) -> None:
    with pytest.raises(UnreadableFileError, match=r"^This is no many: .*" + sentence):
        from_plain(Many, {**to_plain(sample()), name: value})


@pytest.mark.parametrize("plain", [None, 5, True, "text", [], [1], {}])
def test_what_is_no_group_of_values_is_told(plain: Any) -> None:
    with pytest.raises(UnreadableFileError, match="This is no position: "):
        from_plain(Position, plain)


@given(
    plain=st.recursive(
        st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
        lambda inner: (
            st.lists(inner, max_size=3)
            | st.dictionaries(st.sampled_from(Spot.__slots__) | st.text(max_size=3), inner)
        ),
        max_leaves=8,
    )
)
def test_junk_is_refused_in_words(plain: Any) -> None:
    with pytest.raises(ShivelightError, match=r"This is no spot: .+"):
        from_plain(Spot, plain)


@given(forecast=make.ensembles())
def test_a_forecast_comes_back(forecast: Ensemble) -> None:
    back = from_plain(Ensemble, json.loads(json.dumps(to_plain(forecast), allow_nan=False)))
    np.testing.assert_array_equal(back.utc, forecast.utc)
    for name in QUANTITIES:
        np.testing.assert_array_equal(getattr(back, name), getattr(forecast, name))
    assert (back.source, back.issued_utc) == (forecast.source, forecast.issued_utc)


@given(skyline=make.skylines())
def test_a_skyline_comes_back(skyline: Skyline) -> None:
    back = from_plain(Skyline, json.loads(json.dumps(to_plain(skyline), allow_nan=False)))
    np.testing.assert_array_equal(back.altitude_deg, skyline.altitude_deg)
    assert (back.reach_m is None) is (skyline.reach_m is None)


@given(forecast=make.stored_forecasts())
def test_raw_bytes_come_back(forecast: StoredForecast) -> None:
    back = from_plain(StoredForecast, json.loads(json.dumps(to_plain(forecast))))
    assert back == forecast
    assert back.sha256 == forecast.sha256


@given(utc=make.instants())
def test_an_instant_comes_back(utc: np.datetime64) -> None:
    assert instant_from(instant_text(utc)) == utc


@pytest.mark.parametrize(
    ("text", "utc"),
    [
        ("2027-11-03T07:38Z", "2027-11-03T07:38"),
        ("2027-11-03T07:38:30+01:00", "2027-11-03T06:38:30"),
        ("2027-11-03 07:38-03:30", "2027-11-03T11:08"),
    ],
)
def test_offsets_are_heeded(text: str, utc: str) -> None:
    assert instant_from(text) == np.datetime64(utc)


def test_an_instant_is_short_when_it_can_be() -> None:
    assert instant_text(np.datetime64("2027-11-03T07:38")) == "2027-11-03T07:38:00Z"
    assert instant_text(np.datetime64("2027-11-03T07:38:00.25")) == "2027-11-03T07:38:00.250000Z"


def test_a_time_outside_the_calendar_is_told() -> None:
    with pytest.raises(UnreadableFileError, match="lies outside the years 1 to 9999"):
        instant_from("0001-01-01T00:00+14:00")
