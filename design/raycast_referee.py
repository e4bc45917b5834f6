"""Hold the ray-caster's depths and elements against a general renderer's.

Two steps, since the renderer (Mitsuba 3) lives in an environment of its own:

    PYTHONPATH=src python design/raycast_referee.py render OUT.npz    # where Mitsuba is
    python design/raycast_referee.py compare OUT.npz                  # where Shivelight is

The wood leans, slopes, has stumps seen from above and logs with round ends; two cameras, one of
them pitched and rolled. Printed are the share of pixels in which both see the same thing, and how
far depths differ where they do.
"""

import sys
from typing import Any

import numpy as np

from shivelight.scene.camera import Camera, rays
from shivelight.scene.elements import Segment, Slope, Survey, Trunk

SIZE = (300, 200)
SLOPE = Slope(rise_right_frac=0.08, rise_forward_frac=0.04)
VIEWS = (
    Camera(z_m=1.4, focal_length_mm=35.0),
    Camera(x_m=0.6, z_m=1.9, yaw_deg=-4.0, pitch_deg=-14.0, roll_deg=6.0, focal_length_mm=28.0),
)


def wood() -> Survey:
    """Forty trunks that lean, ten stumps, six logs."""
    draws = np.random.default_rng(8)
    trunks = []
    for number in range(50):
        is_stump = number >= 40
        trunks.append(
            Trunk(
                name=f"trunk {number}",
                x_m=(number % 10 - 4.5) * 2.2 + float(draws.uniform(-0.7, 0.7)),
                y_m=5.0 + 3.0 * (number // 10) + float(draws.uniform(-0.8, 0.8)),
                width_m=float(draws.uniform(0.2, 0.7)),
                height_m=0.6 if is_stump else 18.0,
                lean_right_deg=float(draws.normal(0.0, 5.0)),
                lean_away_deg=float(draws.normal(0.0, 5.0)),
            )
        )
    logs = tuple(
        Segment(
            name=f"log {number}",
            start_m=(float(draws.uniform(-6, 6)), float(draws.uniform(4, 16)), 1.6),
            end_m=(float(draws.uniform(-6, 6)), float(draws.uniform(4, 16)), 3.0),
            width_m=float(draws.uniform(0.05, 0.3)),
        )
        for number in range(6)
    )
    return Survey(trunks=tuple(trunks), segments=logs, slope=SLOPE)


def render(path: str) -> None:
    """Write the renderer's depth along the lens axis and its element, for each view."""
    import mitsuba as mi  # noqa: PLC0415  only this step has it

    mi.set_variant("scalar_rgb")
    mi.set_log_level(mi.LogLevel.Error)
    scene = mi.load_dict(_scene(mi, wood()))
    kept = {}
    for number, camera in enumerate(VIEWS):
        depth, element = np.full(SIZE[::-1], np.inf), np.full(SIZE[::-1], -2)
        u = (np.arange(SIZE[0]) + 0.5) / SIZE[0] - 0.5
        v = ((np.arange(SIZE[1]) + 0.5) / SIZE[1] - 0.5) * 2.0 * camera.half_height
        ways = rays(camera, *np.meshgrid(u, v))
        eye = [camera.x_m, camera.y_m, camera.z_m]
        for row, column in np.ndindex(*depth.shape):
            way = ways[row, column]
            found = scene.ray_intersect(mi.Ray3f(eye, way.tolist()))
            if found.is_valid():
                depth[row, column] = float(found.t) * float(way @ camera.axes[2])
                element[row, column] = int(found.shape.id().split("-", 1)[1])
        kept[f"depth{number}"], kept[f"element{number}"] = depth, element
    np.savez_compressed(path, **kept)


def compare(path: str) -> None:
    """Print how the ray-caster agrees with what was written."""
    from shivelight.scene.raycast import cast  # noqa: PLC0415  only this step has Numba

    told = np.load(path)
    for number, camera in enumerate(VIEWS):
        found = cast(wood(), camera, size=SIZE)
        depth, element = told[f"depth{number}"], told[f"element{number}"]
        same = found.element_id == element
        hit = same & (element > -2)
        off = np.abs(found.depth_m[hit] / depth[hit] - 1.0)
        print(
            f"view {number}: {np.unique(element).size} things; the same in {int(same.sum())} "
            f"of {same.size} pixels; depth off by {np.median(off):.1e} (median), "
            f"{off.max():.1e} (most)"
        )


def _scene(mi: Any, survey: Survey) -> dict[str, Any]:
    """Write the wood as the renderer's shapes, each named by its element."""
    turn = mi.ScalarTransform4f()
    scene: dict[str, Any] = {"type": "scene"}
    for number, trunk in enumerate(survey.trunks):
        foot, top = (np.array(end) for end in trunk.ends_m(survey.slope))
        axis = (top - foot) / np.linalg.norm(top - foot)
        radius, base = trunk.width_m / 2.0, foot - 0.5 * axis
        ends = {"p0": base.tolist(), "p1": top.tolist(), "radius": radius}
        scene[f"stem-{number}"] = {"type": "cylinder", **ends}
        lid = turn.look_at(origin=top.tolist(), target=(top + axis).tolist(), up=[1.0, 0.3, 0.0])
        scene[f"top-{number}"] = {"type": "disk", "to_world": lid @ turn.scale(radius)}
    for number, log in enumerate(survey.segments, start=len(survey.trunks)):
        radius = log.width_m / 2.0
        ends = {"p0": list(log.start_m), "p1": list(log.end_m), "radius": radius}
        scene[f"log-{number}"] = {"type": "cylinder", **ends}
        for which, place in (("start", log.start_m), ("end", log.end_m)):
            ball = {"type": "sphere", "center": list(place), "radius": radius}
            scene[f"{which}-{number}"] = ball
    right, ahead = (1.0, 0.0, SLOPE.rise_right_frac), (0.0, 1.0, SLOPE.rise_forward_frac)
    flat = turn.look_at(origin=[0.0] * 3, target=np.cross(right, ahead).tolist(), up=list(ahead))
    scene["ground--1"] = {"type": "rectangle", "to_world": flat @ turn.scale(100_000.0)}
    return scene


if __name__ == "__main__":
    {"render": render, "compare": compare}[sys.argv[1]](sys.argv[2])
