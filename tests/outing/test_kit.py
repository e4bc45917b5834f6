"""The kit: limits, and the lens that reaches a focal length."""

from typing import Any

import pytest
from hypothesis import given

from shivelight.basis.errors import BadInputError, OutOfRangeError
from shivelight.basis.records import from_plain, to_plain
from shivelight.outing.kit import Body, Kit, KitLens
from tests import strategies as make

SHORT = KitLens(name="short zoom", shortest_mm=24.0, longest_mm=105.0, widest_f_number=4.0)
LONG = KitLens(name="long zoom", shortest_mm=70.0, longest_mm=200.0, widest_f_number=2.8)
PRIME = KitLens(name="prime", shortest_mm=50.0, longest_mm=50.0, widest_f_number=1.8)
BODY: dict[str, Any] = {
    "name": "walker",
    "sensor_width_mm": 36.0,
    "sensor_height_mm": 24.0,
    "pixels_across": 6000,
}


@given(kit=make.kits())
def test_a_kit_goes_through_plain_json(kit: Kit) -> None:
    assert from_plain(Kit, to_plain(kit)) == kit


@pytest.mark.parametrize(
    ("focal_length_mm", "lens"),
    [(50.0, PRIME), (35.0, SHORT), (24.0, SHORT), (90.0, SHORT), (105.0, SHORT), (200.0, LONG)],
)
def test_the_shortest_zoom_that_reaches_is_taken(focal_length_mm: float, lens: KitLens) -> None:
    assert Kit(lenses=(LONG, SHORT, PRIME)).lens_for(focal_length_mm) == lens


@pytest.mark.parametrize("focal_length_mm", [23.9, 200.1])
def test_none_is_said_when_no_lens_reaches(focal_length_mm: float) -> None:
    assert Kit(lenses=(LONG, SHORT, PRIME)).lens_for(focal_length_mm) is None
    assert Kit().lens_for(50.0) is None


@given(kit=make.kits())
def test_the_lens_taken_reaches_and_none_that_reaches_zooms_less(kit: Kit) -> None:
    taken = kit.lens_for(70.0)
    reaching = [lens for lens in kit.lenses if lens.shortest_mm <= 70.0 <= lens.longest_mm]
    assert (taken is None) is (not reaching)
    if taken is not None:
        width_mm = taken.longest_mm - taken.shortest_mm
        assert all(width_mm <= lens.longest_mm - lens.shortest_mm for lens in reaching)


@pytest.mark.parametrize(
    ("name", "value", "sentence"),
    [
        ("sensor_width_mm", 0.0, "sensor width is 0 mm"),
        ("sensor_height_mm", float("nan"), "sensor height is nan mm"),
        ("pixels_across", 99, "pixels across is 99; it must be 100 to 100000"),
        ("base_iso", 5, "base ISO is 5"),
    ],
)
def test_a_body_has_limits(name: str, value: float, sentence: str) -> None:
    with pytest.raises(OutOfRangeError, match=sentence):
        Body(**{**BODY, name: value})


def test_a_lens_has_limits() -> None:
    with pytest.raises(OutOfRangeError, match="longest focal length is 35 mm; it must be 50 to"):
        KitLens(name="odd", shortest_mm=50.0, longest_mm=35.0, widest_f_number=2.0)
    with pytest.raises(OutOfRangeError, match=r"widest f-number is 0\.5"):
        KitLens(name="odd", shortest_mm=50.0, longest_mm=50.0, widest_f_number=0.5)
    with pytest.raises(BadInputError, match="A lens needs a name"):
        KitLens(name="", shortest_mm=50.0, longest_mm=50.0, widest_f_number=2.0)
    with pytest.raises(BadInputError, match="A body needs a name"):
        Body(**{**BODY, "name": "\n"})
