"""A square of ground: pixels to places and back, and how far it stretches."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pyproj import Proj, Transformer

from shivelight.basis.errors import OutOfRangeError
from shivelight.basis.places import Position, distance_and_azimuth
from shivelight.land.square import GroundSquare, linear_degrees, pixels_at, places_at

PINNET = Position(latitude_deg=53.0043, longitude_deg=-5.0912)


def square(
    *, centre: Position = PINNET, radius_m: float = 800.0, side_px: int = 720
) -> GroundSquare:
    return GroundSquare(centre=centre, radius_m=radius_m, side_px=side_px)


@given(
    latitude=st.floats(-89.9, 89.9),
    longitude=st.floats(-180.0, 360.0),
    radius=st.floats(10.0, 25_000.0),
    side=st.integers(64, 2400),
    x=st.floats(0.0, 1.0),
    y=st.floats(0.0, 1.0),
)
def test_a_pixel_comes_back_from_its_place(
    latitude: float, longitude: float, radius: float, side: int, x: float, y: float
) -> None:
    here = Position(latitude_deg=latitude, longitude_deg=longitude)
    shown = square(centre=here, radius_m=radius, side_px=side)
    found = places_at(shown, x * side, y_px=y * side)
    back = pixels_at(shown, found[0], longitude_deg=found[1])
    # A nanodegree or so of rounding, which is 0.1 mm on the ground.
    slack_px = 0.001 + 2e-4 / shown.pixel_m
    assert float(back[0]) == pytest.approx(x * side, abs=slack_px)
    assert float(back[1]) == pytest.approx(y * side, abs=slack_px)
    assert slack_px < 0.5


@given(
    latitude=st.floats(-80.0, 80.0),
    longitude=st.floats(-179.0, 179.0),
    x=st.floats(0.0, 720.0),
    y=st.floats(0.0, 720.0),
)
def test_places_are_those_of_the_azimuthal_equidistant_projection(
    latitude: float, longitude: float, x: float, y: float
) -> None:
    # PROJ's own "aeqd" on the same ellipsoid, which our geodesics do not go through.
    shown = square(centre=Position(latitude_deg=latitude, longitude_deg=longitude))
    map_of = Transformer.from_proj(
        Proj(proj="aeqd", lat_0=latitude, lon_0=longitude, ellps="WGS84"),
        Proj(proj="longlat", ellps="WGS84"),
        always_xy=True,
    )
    lon, lat = map_of.transform((x - 360.0) * shown.pixel_m, (360.0 - y) * shown.pixel_m)
    found = places_at(shown, x, y_px=y)
    assert float(found[0]) == pytest.approx(lat, abs=1e-7)
    assert (float(found[1]) - lon + 180.0) % 360.0 - 180.0 == pytest.approx(0.0, abs=1e-6)


def test_corners_lie_where_they_should() -> None:
    shown = square()
    latitude, longitude = places_at(shown, [0.0, 720.0, 360.0], y_px=[0.0, 720.0, 360.0])
    assert (latitude[2], longitude[2]) == pytest.approx((53.0043, -5.0912), abs=1e-12)
    for number, azimuth in ((0, 315.0), (1, 135.0)):
        there = Position(latitude_deg=latitude[number], longitude_deg=longitude[number])
        away_m, toward_deg = distance_and_azimuth(PINNET, there)
        assert away_m == pytest.approx(800.0 * math.sqrt(2.0), abs=1e-3)
        assert toward_deg == pytest.approx(azimuth, abs=1e-6)


def test_shapes_broadcast_and_nan_stays() -> None:
    shown = square()
    latitude, longitude = places_at(shown, np.zeros((3, 1)), y_px=np.zeros(4))
    assert latitude.shape == longitude.shape == (3, 4)
    assert places_at(shown, [], y_px=[])[0].shape == (0,)
    assert np.isnan(places_at(shown, np.nan, y_px=5.0)).all()
    assert np.isnan(pixels_at(shown, np.nan, longitude_deg=5.0)).all()


def test_across_the_date_line_and_at_the_pole() -> None:
    shown = square(centre=Position(latitude_deg=10.0, longitude_deg=179.999))
    longitude = places_at(shown, [0.0, 720.0], y_px=360.0)[1]
    assert longitude[0] > 179.9
    assert longitude[1] < -179.9
    assert pixels_at(shown, 10.0, longitude_deg=longitude[1])[0] == pytest.approx(720.0, abs=0.01)
    pole = square(centre=Position(latitude_deg=90.0, longitude_deg=0.0))
    assert (places_at(pole, [0.0, 720.0], y_px=[0.0, 720.0])[0] < 90.0).all()


@given(latitude=st.floats(-70.0, 70.0), radius=st.floats(8_000.0, 25_000.0))
def test_no_length_is_stretched_more_than_is_said(latitude: float, radius: float) -> None:
    # PROJ's factors of its own projection, at the picture's corner.
    shown = square(centre=Position(latitude_deg=latitude, longitude_deg=0.0), radius_m=radius)
    lat, lon = places_at(shown, 0.0, y_px=0.0)
    aeqd = Proj(proj="aeqd", lat_0=latitude, lon_0=0.0, R=6_371_009.0)
    stretched = aeqd.get_factors(float(lon), float(lat)).tissot_semimajor - 1.0
    # PROJ takes its factors by small differences, good to some 1e-8 (as smaller squares show);
    # its sphere stands for the ellipsoid, within a hundredth of so small a number.
    assert stretched == pytest.approx(shown.stretch_frac, rel=0.02, abs=3e-8)


@pytest.mark.parametrize(("radius", "most_m"), [(200.0, 0.02), (500.0, 0.1), (5000.0, 10.0)])
def test_straight_degrees_say_how_far_they_miss(radius: float, most_m: float) -> None:
    shown = square(radius_m=radius)
    degrees = linear_degrees(shown)
    assert 0.0 < degrees.error_m < most_m
    x, y = np.random.default_rng(7).uniform(0.0, 720.0, (2, 200))
    lat, lon = places_at(shown, x, y_px=y)
    read_lat = degrees.latitude_deg + degrees.latitude_per_x_deg * x
    read_lat += degrees.latitude_per_y_deg * y
    read_lon = degrees.longitude_deg + degrees.longitude_per_x_deg * x
    read_lon += degrees.longitude_per_y_deg * y
    for place in zip(lat, lon, read_lat, read_lon, strict=True):
        there = Position(latitude_deg=place[0], longitude_deg=place[1])
        read = Position(latitude_deg=place[2], longitude_deg=place[3])
        assert distance_and_azimuth(there, read)[0] <= degrees.error_m * 1.05


@pytest.mark.parametrize("radius", [0.0, 9.9, 25_001.0, math.nan])
def test_a_radius_that_makes_no_picture(radius: float) -> None:
    with pytest.raises(OutOfRangeError, match="radius of the picture is"):
        square(radius_m=radius)


def test_a_side_that_makes_no_picture() -> None:
    with pytest.raises(OutOfRangeError, match="side of the picture is 20 px"):
        square(side_px=20)
