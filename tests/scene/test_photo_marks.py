import pytest
from hypothesis import given
from hypothesis import strategies as st

from shivelight.basis.errors import BadInputError
from shivelight.scene.camera import Camera, project
from shivelight.scene.photo_marks import PhotoView, bearing_and_altitude_deg, tilt_from_horizon


@given(pitch_deg=st.floats(-20.0, 20.0), roll_deg=st.floats(-15.0, 15.0))
def test_tilt_is_read_off_a_level_horizon(pitch_deg: float, roll_deg: float) -> None:
    camera = Camera(pitch_deg=pitch_deg, roll_deg=roll_deg, focal_length_mm=35.0)
    ends = []
    for x in (-2_000.0, 3_000.0):  # two points at the height of the lens
        u, v, _depth = project(camera, (x, 9_000.0, camera.z_m))
        ends.append((float(u), float(v)))
    found = tilt_from_horizon(camera, ends[0], ends[1])
    assert found == pytest.approx((pitch_deg, roll_deg), abs=1e-6)
    assert tilt_from_horizon(camera, ends[1], ends[0]) == pytest.approx(found, abs=1e-9)


def test_a_horizon_of_one_point_is_refused() -> None:
    with pytest.raises(BadInputError, match="mark them far apart"):
        tilt_from_horizon(Camera(), (0.1, 0.0), (0.105, 0.0))


def test_the_middle_of_a_tilted_picture_looks_up_by_the_tilt() -> None:
    view = PhotoView(camera=Camera(pitch_deg=7.0), width_px=1501, height_px=1001)
    assert bearing_and_altitude_deg(view, 750.0, 500.0) == pytest.approx((0.0, 7.0), abs=1e-9)


@pytest.mark.parametrize("size", [(4800, 1500), (900, 4000)])
def test_panoramas_are_refused(size: tuple[int, int]) -> None:
    with pytest.raises(BadInputError, match="as panoramas are"):
        PhotoView(camera=Camera(), width_px=size[0], height_px=size[1])
