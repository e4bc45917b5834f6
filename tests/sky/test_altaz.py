"""Hour angle and declination to altitude and azimuth."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import OutOfRangeError
from shivelight.sky.altaz import altitude_azimuth


def test_venus_over_washington_1987_april_10() -> None:
    # J. Meeus, Astronomical Algorithms, 2nd ed. (1998), example 13.b.
    # Printed: h = +15.1249, A = 68.0337 west of south; our azimuth starts at north.
    altitude_deg, azimuth_deg = altitude_azimuth(64.352133, -6.719892, latitude_deg=38.921389)
    np.testing.assert_allclose(altitude_deg, 15.1249, atol=5e-5, rtol=0)
    np.testing.assert_allclose(azimuth_deg, 68.0337 + 180.0, atol=5e-5, rtol=0)


@given(hour=st.floats(0.1, 179.0), decl=st.floats(-85.0, 85.0), latitude=st.floats(-89.0, 89.0))
def test_east_and_west_mirror(hour: float, decl: float, latitude: float) -> None:
    west_alt, west_az = altitude_azimuth(hour, decl, latitude_deg=latitude)
    east_alt, east_az = altitude_azimuth(-hour, decl, latitude_deg=latitude)
    assert east_alt == pytest.approx(float(west_alt), abs=1e-9)
    assert float(east_az + west_az) % 360.0 == pytest.approx(0.0, abs=1e-6) or float(
        east_az + west_az
    ) % 360.0 == pytest.approx(360.0, abs=1e-6)


@given(hour=st.floats(-180.0, 180.0), decl=st.floats(-85.0, 85.0), latitude=st.floats(0.0, 90.0))
def test_the_southern_sky_is_the_northern_one_turned(
    hour: float, decl: float, latitude: float
) -> None:
    north_alt, _ = altitude_azimuth(hour, decl, latitude_deg=latitude)
    south_alt, _ = altitude_azimuth(hour, -decl, latitude_deg=-latitude)
    assert float(south_alt) == pytest.approx(float(north_alt), abs=1e-9)


def test_at_the_pole_altitude_is_declination() -> None:
    altitude_deg, _ = altitude_azimuth([0.0, 77.0, 180.0], 12.0, latitude_deg=90.0)
    np.testing.assert_allclose(altitude_deg, 12.0, atol=1e-12)


def test_overhead_is_exactly_ninety() -> None:
    altitude_deg, _ = altitude_azimuth(0.0, 30.0, latitude_deg=30.0)
    assert float(altitude_deg) == pytest.approx(90.0, abs=1e-12)


def test_shapes_broadcast_and_nan_stays() -> None:
    altitude_deg, azimuth_deg = altitude_azimuth(
        np.array([[0.0], [90.0], [np.nan]]), np.array([-10.0, 20.0]), latitude_deg=53.0
    )
    assert altitude_deg.shape == azimuth_deg.shape == (3, 2)
    assert np.isnan(altitude_deg[2]).all()
    assert np.isnan(azimuth_deg[2]).all()
    assert not np.isnan(altitude_deg[:2]).any()


def test_empty_gives_empty() -> None:
    altitude_deg, azimuth_deg = altitude_azimuth([], [], latitude_deg=53.0)
    assert altitude_deg.shape == azimuth_deg.shape == (0,)


def test_a_latitude_beyond_the_pole_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="latitude is 91 °; it must be -90 to 90 °"):
        altitude_azimuth(0.0, 0.0, latitude_deg=91.0)
