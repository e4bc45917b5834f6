"""The ray-caster: against a walk along rays, against points of surfaces, mist, sun, refusals."""

import dataclasses
import math

import numpy as np
import pytest

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, OutOfRangeError
from shivelight.scene.camera import Camera, project, rays
from shivelight.scene.elements import Segment, SkyHole, Slope, Survey, Trunk, trunk_at
from shivelight.scene.raycast import GROUND_ID, SKY_ID, LowSun, cast

FIVE = Survey(
    trunks=(
        trunk_at("Stub", -10.5, distance_m=18.0, width_m=0.38, height_m=14.0),
        trunk_at("Crook", -6.0, distance_m=10.0, width_m=0.60, lean_right_deg=6.0),
        trunk_at("Plumb", 0.0, distance_m=7.0, width_m=0.55, height_m=1.0, lean_away_deg=-9.0),
        trunk_at("Lean", 4.0, distance_m=13.0, width_m=0.42, lean_right_deg=-20.0),
        trunk_at("Pale", 5.2, distance_m=24.0, width_m=0.30),
    ),
    segments=(
        Segment(name="log", start_m=(-2.0, 5.0, 0.3), end_m=(2.5, 9.0, 1.4), width_m=0.25),
        Segment(name="twig", start_m=(0.5, 3.0, 2.0), end_m=(0.5, 3.4, 1.2), width_m=0.04),
    ),
    slope=Slope(rise_right_frac=0.1, rise_forward_frac=-0.05),
)
VIEWS = (
    Camera(z_m=1.1),
    Camera(x_m=0.65, z_m=1.8, yaw_deg=-4.0, pitch_deg=-9.0, roll_deg=7.0, focal_length_mm=35.0),
    Camera(x_m=-1.0, y_m=2.0, z_m=2.5, yaw_deg=10.0, pitch_deg=-25.0, focal_length_mm=24.0),
    Camera(z_m=1.3, focal_length_mm=28.0, k1=-0.08, k2=0.01),
)
SIZE = (90, 60)


def pixel_places(camera: Camera, size: tuple[int, int]) -> tuple[FloatArray, FloatArray]:
    u = (np.arange(size[0]) + 0.5) / size[0] - 0.5
    v = ((np.arange(size[1]) + 0.5) / size[1] - 0.5) * 2.0 * camera.half_height
    across, down = np.meshgrid(u, v)
    return across, down


@pytest.mark.parametrize("camera", VIEWS)
def test_points_of_a_trunk_fall_where_it_is_seen(camera: Camera) -> None:
    alone = Survey(trunks=FIVE.trunks[1:2], slope=FIVE.slope)
    trunk = alone.trunks[0]
    foot, top = (np.array(end) for end in trunk.ends_m(alone.slope))
    axis = (top - foot) / math.dist(foot, top)
    out = np.cross(axis, [0.0, 1.0, 0.0])
    out /= np.linalg.norm(out)
    turn, up = np.meshgrid(np.linspace(0.0, 2.0 * np.pi, 181), np.linspace(0.3, 6.0, 60))
    round_m = np.cos(turn)[..., None] * out + np.sin(turn)[..., None] * np.cross(axis, out)
    points = foot + up[..., None] * axis + trunk.width_m / 2.0 * round_m
    u, v, depth = project(camera, points.reshape(-1, 3))
    size = (600, 400)
    found = cast(alone, camera, size=size)
    column = np.floor((u + 0.5) * size[0])
    row = np.floor((v / (2.0 * camera.half_height) + 0.5) * size[1])
    in_frame = (column >= 0) & (column < size[0]) & (row >= 0) & (row < size[1])
    assert in_frame.sum() > 1_000
    c, r = column[in_frame].astype(int), row[in_frame].astype(int)
    # a pixel is 2 to 4 cm of trunk across there; depth varies by the slant of the bark within it
    on_edge = found.element_id[r, c] != 0
    assert on_edge.mean() < 0.06
    ahead = found.depth_m[r, c][~on_edge] - depth[in_frame][~on_edge]
    assert ahead.max() < 0.12  # nothing seen lies behind a point of the bark
    assert np.sort(np.abs(ahead))[ahead.size // 4] < 0.005  # the near side is where it is seen


def test_a_trunk_alone_covers_its_angle() -> None:
    camera = Camera(z_m=1.1, focal_length_mm=50.0)
    one = Survey(trunks=(trunk_at("Plumb", 0.0, distance_m=7.0, width_m=0.55),))
    found = cast(one, camera, size=(6001, 1))
    half = math.tan(math.asin(0.275 / 7.0)) * 50.0 / 36.0
    assert (found.element_id == 0).sum() / 6001 == pytest.approx(2.0 * half, abs=2.0 / 6001)
    assert found.depth_m[0, 3000] == pytest.approx(7.0 - 0.275, abs=1e-9)


def test_what_stands_nearer_hides_what_stands_behind_whatever_the_order() -> None:
    camera = Camera(z_m=1.5, focal_length_mm=35.0)
    turned = dataclasses.replace(FIVE, trunks=FIVE.trunks[::-1], segments=FIVE.segments[::-1])
    one, other = cast(FIVE, camera, size=SIZE), cast(turned, camera, size=SIZE)
    assert np.array_equal(one.depth_m, other.depth_m)
    names = np.array([*one.names, "sky", "ground"])
    assert np.array_equal(
        names[one.element_id], np.array([*other.names, "sky", "ground"])[other.element_id]
    )


def test_boxes_lose_nothing() -> None:
    """A distortion too small to move anything makes every piece be looked for everywhere."""
    for camera in VIEWS[:3]:
        everywhere = dataclasses.replace(camera, k1=1e-15)
        one, other = cast(FIVE, camera, size=SIZE), cast(FIVE, everywhere, size=SIZE)
        assert np.array_equal(one.element_id, other.element_id)


def test_sky_and_ground_meet_at_the_level() -> None:
    found = cast(Survey(), Camera(z_m=1.4), size=(30, 20))
    assert (found.element_id[:10] == SKY_ID).all()
    assert (found.element_id[10:] == GROUND_ID).all()
    assert np.isinf(found.depth_m[:10]).all()
    # down by half a row of 24/20 mm at 50 mm, from 1.4 m
    assert found.depth_m[10, 0] == pytest.approx(1.4 * 50.0 / 0.6, abs=1e-9)


def test_a_flare_widens_the_foot_alone() -> None:
    camera = Camera(z_m=1.4, focal_length_mm=24.0)
    one = Survey(trunks=(trunk_at("Plumb", 0.0, distance_m=4.0, width_m=0.5),))
    plain = (cast(one, camera, size=(300, 200)).element_id == 0).sum(axis=1)
    flared = (cast(one, camera, size=(300, 200), flare_frac=0.4).element_id == 0).sum(axis=1)
    assert np.array_equal(plain[:100], flared[:100])
    assert flared.max() == pytest.approx(plain.max() * 1.4, abs=4)


def test_a_hole_far_off_stays_at_its_angle_and_is_hidden_by_a_trunk() -> None:
    hole = SkyHole(name="hole", angle_deg=3.0, altitude_deg=5.0, width_deg=4.0, height_deg=2.0)
    camera = Camera(z_m=1.4)
    found = cast(Survey(holes=(hole,)), camera, size=(720, 480))
    across, down = pixel_places(camera, (720, 480))
    seen = found.element_id == 0
    way = rays(camera, across[seen].mean(), down[seen].mean())
    assert math.degrees(math.atan2(way[0], way[1])) == pytest.approx(3.0, abs=0.02)
    assert math.degrees(math.asin(way[2])) == pytest.approx(5.0, abs=0.03)
    tall = trunk_at("Plumb", 3.0, distance_m=7.0, width_m=0.35)
    hidden = cast(Survey(trunks=(tall,), holes=(hole,)), camera, size=(720, 480))
    assert 0 < (hidden.element_id == 1).sum() < seen.sum() / 3


def test_mist_keeps_a_twentieth_at_its_range_and_clear_air_everything() -> None:
    wall = Survey(trunks=(trunk_at("wall", 0.0, distance_m=62.0, width_m=20.0),))
    camera = Camera(z_m=1.4)
    near = cast(wall, camera, size=(31, 21)).tone[0, 15]
    misty = cast(wall, camera, size=(31, 21), mist_range_m=52.0)
    away = misty.depth_m[0, 15] * math.hypot(1.0, 10.0 / 21.0 * 24.0 / 50.0)
    left = 0.05 ** (away / 52.0)
    assert misty.tone[0, 15] == pytest.approx(near * left + 1.0 - left, abs=1e-12)
    assert cast(Survey(), camera, size=(3, 4), mist_range_m=90.0).tone[0, 0] == 1.0


def test_low_sun_brightens_the_mist_toward_it_and_trunks_cast_shadows_in_it() -> None:
    camera = Camera(z_m=1.4, focal_length_mm=24.0)
    sun = LowSun(angle_deg=0.0, altitude_deg=8.0)
    empty = cast(Survey(), camera, size=(60, 40), mist_range_m=60.0, sun=sun)
    assert empty.tone[0, 30] > 1.5 * empty.tone[0, 0] > 1.5
    even = cast(Survey(), camera, size=(60, 40), mist_range_m=60.0)
    assert (empty.tone >= even.tone).all()
    stem = Survey(trunks=(trunk_at("stem", 0.0, distance_m=8.0, width_m=0.6),))
    shaded = cast(stem, camera, size=(60, 40), mist_range_m=60.0, sun=sun)
    ground = (empty.element_id == GROUND_ID) & (shaded.element_id == GROUND_ID)
    loss = np.where(ground, empty.tone - shaded.tone, 0.0)
    assert (loss >= -1e-12).all()
    assert loss[39, 29:31].min() > 0.1  # the shadow falls from the trunk toward the lens
    beside = Survey(trunks=(trunk_at("stem", 20.0, distance_m=8.0, width_m=0.6),))
    away = cast(beside, camera, size=(60, 40), mist_range_m=60.0, sun=sun)
    assert np.array_equal(away.tone[:, :25], empty.tone[:, :25])
    assert (empty.tone - away.tone)[30:, 30:].max() > 0.05


def test_a_mirrored_wood_is_the_mirrored_picture() -> None:
    def flipped(one: Trunk) -> Trunk:
        return dataclasses.replace(one, x_m=-one.x_m, lean_right_deg=-one.lean_right_deg)

    wood = Survey(trunks=FIVE.trunks)
    other = Survey(trunks=tuple(map(flipped, FIVE.trunks)))
    sun = LowSun(angle_deg=11.0, altitude_deg=9.0)
    one = cast(wood, Camera(z_m=1.4), size=(80, 54))
    two = cast(other, Camera(z_m=1.4), size=(80, 54))
    assert np.array_equal(one.element_id, two.element_id[:, ::-1])
    lit = cast(wood, Camera(z_m=1.4), size=(80, 54), sun=sun)
    mirrored = dataclasses.replace(sun, angle_deg=-11.0)
    other_lit = cast(other, Camera(z_m=1.4), size=(80, 54), sun=mirrored)
    assert np.allclose(lit.tone, other_lit.tone[:, ::-1], rtol=0.0, atol=1e-9)


def test_a_lens_in_the_ground_or_in_a_trunk_is_refused() -> None:
    with pytest.raises(BadInputError, match=r"would be in the ground, which is 0\.00 m high"):
        cast(Survey(), Camera(z_m=0.0), size=(4, 4))
    with pytest.raises(BadInputError, match="would be inside Plumb"):
        cast(FIVE, Camera(y_m=6.9, z_m=0.2), size=(4, 4))
    with pytest.raises(OutOfRangeError, match=r"optical range is 0 m; it must be 1 to 200000 m\."):
        cast(FIVE, Camera(), size=(4, 4), mist_range_m=0.0)
    with pytest.raises(OutOfRangeError, match="width of the picture is 0 px"):
        cast(FIVE, Camera(), size=(0, 4))
