"""The ray-caster against a walk along its rays: what is met, how far off, and the sun in the mist.

Runs uncompiled too, so the pictures are small.
"""

import math

import numpy as np
import pytest

from shivelight.scene.camera import Camera, rays
from shivelight.scene.elements import Segment, SkyHole, Survey, trunk_at
from shivelight.scene.raycast import FORWARD_BIAS, LowSun, cast
from tests.plain.raycast_marched import NOTHING, march, sunlit_air
from tests.scene.test_raycast import FIVE, VIEWS, pixel_places

SIZE = (45, 30)


@pytest.mark.parametrize("camera", VIEWS)
def test_depth_and_element_agree_with_a_walk_along_the_ray(camera: Camera) -> None:
    found = cast(FIVE, camera, size=SIZE)
    ways = rays(camera, *pixel_places(camera, SIZE))
    eye = np.array([camera.x_m, camera.y_m, camera.z_m])
    draws = np.random.default_rng(4)
    seen, corners = set(), 0
    for row, column in zip(draws.integers(0, 30, 150), draws.integers(0, 45, 150), strict=True):
        ray = ways[row, column]
        walked, what = march(FIVE, eye, ray, step=0.01, farthest=30.0)
        depth, named = found.depth_m[row, column], found.element_id[row, column]
        along = float(ray @ camera.axes[2])
        if what == NOTHING:
            assert depth > 29.0 * along
        elif named != what:  # the walk steps over a corner less than a step thick
            assert named >= 0
            assert walked > depth / along
            corners += 1
        else:
            assert depth == pytest.approx(walked * along, abs=1e-9)
            seen.add(what)
    assert len(seen) >= 3
    assert corners <= 3


def test_shadows_in_the_mist_agree_with_a_walk_toward_the_sun() -> None:
    wood = Survey(
        trunks=(
            trunk_at("near", 8.0, distance_m=6.0, width_m=0.5, lean_right_deg=10.0),
            trunk_at("far", -5.0, distance_m=11.0, width_m=0.7),
        ),
        segments=(
            Segment(name="bough", start_m=(-2.0, 7.0, 3.0), end_m=(2.0, 8.0, 3.5), width_m=0.4),
        ),
    )
    camera, sun = Camera(z_m=1.4, focal_length_mm=24.0), LowSun(angle_deg=12.0, altitude_deg=9.0)
    size, per_m = (12, 8), math.log(20.0) / 60.0
    even = cast(wood, camera, size=size, mist_range_m=60.0)
    lit = cast(wood, camera, size=size, mist_range_m=60.0, sun=sun)
    clear = cast(wood, camera, size=size, sun=sun).tone - cast(wood, camera, size=size).tone
    ways = rays(camera, *pixel_places(camera, size))
    eye = np.array([camera.x_m, camera.y_m, camera.z_m])
    shares = []
    for row, column in ((0, 2), (2, 7), (3, 9), (5, 6), (5, 10), (6, 8), (7, 7), (7, 1)):
        ray = ways[row, column]
        depth = min(float(even.depth_m[row, column]), 400.0) / float(ray @ camera.axes[2])
        through = math.exp(-per_m * depth)
        share = sunlit_air(wood, eye, ray, way=depth, per_m=per_m, toward=sun.toward)
        toward = float(ray @ sun.toward)
        squared = FORWARD_BIAS**2
        lobe = ((1.0 + squared) / (1.0 + squared - 2.0 * FORWARD_BIAS * toward)) ** 1.5
        added = float(lit.tone[row, column] - even.tone[row, column])
        on_things = float(clear[row, column]) * through
        full = sun.strength_frac * lobe * (1.0 - through)
        # the ray-caster looks at 32 places; one more or less lies in a shadow at each edge
        assert (added - on_things) / full == pytest.approx(share, abs=3.0 / 32.0)
        shares.append(share)
    assert min(shares) < 0.8
    assert max(shares) > 0.9


def test_every_kind_of_surface_is_lit_or_shaded() -> None:
    """Uncompiled, this walks through tops, balls, holes and the sky."""
    wood = Survey(
        trunks=(
            trunk_at("stump", 0.0, distance_m=3.0, width_m=0.8, height_m=0.5),
            trunk_at("stem", -14.0, distance_m=4.0, width_m=0.3),
        ),
        segments=(
            Segment(name="log", start_m=(0.6, 3.2, 0.3), end_m=(0.9, 2.6, 0.3), width_m=0.5),
        ),
        holes=(
            SkyHole(name="hole", angle_deg=14.0, altitude_deg=9.0, width_deg=8.0, height_deg=6.0),
        ),
    )
    camera = Camera(z_m=1.4, focal_length_mm=24.0, pitch_deg=-10.0)
    sun = LowSun(angle_deg=180.0, altitude_deg=30.0)
    dark = cast(wood, camera, size=SIZE, flare_frac=0.2)
    lit = cast(wood, camera, size=SIZE, flare_frac=0.2, sun=sun)
    more = lit.tone / dark.tone - 1.0
    for number, name in enumerate(dark.names):
        on_it = more[dark.element_id == number]
        assert on_it.size > 4, name
        assert (on_it.max() > 0.3) == (name != "hole"), name
    stump_top = more[(dark.element_id == 0) & (lit.tone < 1.0)]
    # a level face under a sun at 30 degrees: half of the light, four times the strength
    assert np.isclose(stump_top, 0.25 * 4.0 * math.sin(math.radians(30.0)), atol=1e-6).any()
    assert np.isclose(more[dark.element_id == -1], 0.0).any()  # shadows lie on the ground
    assert (more[dark.element_id == -2] == 0.0).all()
