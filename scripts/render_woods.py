"""Render small woods whose every distance is known, to try the survey from photographs on.

Wants Mitsuba 3 and Pillow beside NumPy, in an environment of their own; nothing of ours is used,
so that the pictures are a referee. Textured trunks, branches, stones and litter, a uniform sky,
and mist as a homogeneous medium in which light is scattered many times.

    python scripts/render_woods.py tests/data/renders            # all pictures
    python scripts/render_woods.py OUT --only hanger-clear-a     # one of them
    python scripts/render_woods.py OUT --wood ride --seed 7 --width 1200
"""

import argparse
import json
import math
import zlib
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

import mitsuba as mi
import numpy as np
from PIL import Image

mi.set_variant("scalar_rgb")
from mitsuba import ScalarTransform4f as Turn  # noqa: E402  there only once a variant is set

SENSOR_MM = (36.0, 24.0)
NAMES = ("Plumb", "Lean", "Crook", "Stub", "Pale", "Warden", "Gauge", "Thole")


@dataclass(frozen=True)
class View:
    """A camera in the wood: x right, y forward, z up from the ground at the mark. [m, °, mm]."""

    x_m: float = 0.0
    y_m: float = 0.0
    z_m: float = 1.5
    yaw_deg: float = 0.0
    pitch_deg: float = -3.0
    roll_deg: float = 0.0
    focal_length_mm: float = 28.0


@dataclass(frozen=True)
class Shot:
    """One picture: from where, in which air and light."""

    view: View
    extinction_per_m: float = 0.0
    low_sun: bool = False
    exposure: float = 1.0
    samples: int = 48


@dataclass(frozen=True)
class Wood:
    """What stands there. Trunks are (name, x, y, diameter)."""

    seed: int
    trunks: tuple[tuple[str, float, float, float], ...]
    background: int = 45
    shots: dict[str, Shot] = field(default_factory=dict)


A = View()
B = View(x_m=0.6, y_m=0.03, z_m=1.46, yaw_deg=-2.5, pitch_deg=-1.5, roll_deg=1.2)
THIN, THICK = math.log(20.0) / 120.0, math.log(20.0) / 60.0  # optical ranges of 120 and 60 m

WOODS = {
    "hanger": Wood(
        seed=11,
        trunks=(
            ("Plumb", -0.55, 3.4, 0.34),
            ("Lean", 0.85, 5.1, 0.42),
            ("Crook", -2.3, 7.2, 0.55),
            ("Stub", 2.9, 8.9, 0.38),
            ("Pale", 0.6, 11.2, 0.46),
            ("Warden", -3.4, 14.1, 0.60),
        ),
        shots={
            "clear-a": Shot(A, exposure=2.4),
            "clear-b": Shot(B, exposure=2.4),
            "clear-forward": Shot(View(x_m=0.05, y_m=1.0, z_m=1.52, yaw_deg=1.0), exposure=2.4),
            "clear-turned": Shot(View(yaw_deg=7.0, pitch_deg=-2.0, roll_deg=-0.8), exposure=2.4),
            "clear-long": Shot(View(x_m=0.6, y_m=0.03, z_m=1.46, yaw_deg=-1.0, pitch_deg=-2.0,
                                    focal_length_mm=40.0), exposure=2.4),
            "mist60-a": Shot(A, extinction_per_m=THICK, samples=64),
            "mist60-b": Shot(B, extinction_per_m=THICK, samples=64),
        },
    ),
    "ride": Wood(
        seed=23,
        trunks=(
            ("Plumb", 0.9, 4.2, 0.30),
            ("Lean", -1.5, 5.9, 0.48),
            ("Crook", 2.6, 7.8, 0.36),
            ("Stub", -0.4, 9.6, 0.52),
            ("Pale", 3.6, 12.3, 0.44),
            ("Warden", -4.0, 14.8, 0.58),
        ),
        shots={
            "mist120-a": Shot(A, extinction_per_m=THIN, samples=256),
            "mist120-b": Shot(View(x_m=-0.75, y_m=0.06, z_m=1.55, yaw_deg=2.0, pitch_deg=-2.0),
                              extinction_per_m=THIN, samples=256),
            "lowsun120-a": Shot(A, extinction_per_m=THIN, low_sun=True, samples=64),
        },
    ),
}  # fmt: skip


def noise(rows: int, columns: int, *, across: float, along: float, rng: Any) -> np.ndarray:
    """Tileable noise, 0 to 1, of given lengths of likeness in pixels."""
    fy = np.fft.fftfreq(rows)[:, None] * along
    fx = np.fft.rfftfreq(columns)[None, :] * across
    shaped = np.fft.rfft2(rng.standard_normal((rows, columns))) / (1.0 + fx**2 + fy**2) ** 1.1
    field_ = np.fft.irfft2(shaped, s=(rows, columns))
    ranks = (field_ - field_.mean()) / field_.std()
    return np.clip(0.5 + ranks / 5.0, 0.0, 1.0)


def bark(rng: Any) -> np.ndarray:
    """Reflectance of a trunk, [row up the trunk, column round it, rgb]."""
    rows, columns = 2560, 384
    ridges = np.abs(noise(rows, columns, across=12, along=70, rng=rng) - 0.5) * 2.0
    grain = noise(rows, columns, across=4, along=9, rng=rng)
    moss = noise(rows, columns, across=60, along=120, rng=rng)
    tone = rng.uniform(0.07, 0.11) + 0.16 * ridges + 0.10 * (grain - 0.5)
    tone = np.where(moss > 0.68, tone * 1.9, tone)
    colour = np.array([1.0, 0.92, 0.80])
    return np.clip(tone[..., None] * colour, 0.02, 0.6).astype(np.float32)


def litter(rng: Any) -> np.ndarray:
    """Reflectance of the ground."""
    coarse = noise(2048, 2048, across=60, along=60, rng=rng)
    fine = noise(2048, 2048, across=5, along=5, rng=rng)
    tone = 0.05 + 0.16 * coarse * fine + 0.22 * (fine > 0.72)
    return np.clip(tone[..., None] * np.array([1.0, 0.75, 0.5]), 0.02, 0.6).astype(np.float32)


def matt(texture: np.ndarray, *, along: float = 1.0, across: float = 1.0) -> dict[str, Any]:
    """Make a matt surface that wears a texture."""
    return {
        "type": "twosided",
        "inner": {
            "type": "diffuse",
            "reflectance": {
                "type": "bitmap",
                "bitmap": mi.Bitmap(texture),
                "raw": True,
                "to_uv": Turn().scale([across, along, 1.0]),
            },
        },
    }


def shapes(wood: Wood) -> dict[str, Any]:
    """Everything that stands and lies in the wood."""
    rng = np.random.default_rng(wood.seed)
    made: dict[str, Any] = {
        "ground": {
            "type": "rectangle",
            "to_world": Turn().scale([120.0, 120.0, 1.0]),
            "surface": matt(litter(rng), along=11.0, across=11.0),
        }
    }
    barks = [matt(bark(rng)) for _ in range(len(wood.trunks))]
    for (name, x, y, wide), skin in zip(wood.trunks, barks, strict=True):
        made[f"trunk_{name}"] = trunk(x, y, wide, skin)
        for _ in range(3):  # a few bare branches
            turn, rise = rng.uniform(0.0, 2.0 * math.pi), rng.uniform(0.1, 0.8)
            z, long = rng.uniform(2.2, 5.0), rng.uniform(0.5, 1.6)
            end = [x + long * math.cos(turn), y + long * math.sin(turn), z + long * rise]
            made[f"branch_{len(made)}"] = {
                "type": "cylinder", "p0": [x, y, z], "p1": end,
                "radius": float(rng.uniform(0.012, 0.035)), "surface": skin,
            }  # fmt: skip
    placed = 0
    while placed < wood.background:
        away, turn = rng.uniform(17.0, 70.0), rng.uniform(-0.75, 0.75)
        x, y, wide = away * math.sin(turn), away * math.cos(turn), rng.uniform(0.2, 0.6)
        made[f"far_{placed}"] = trunk(x, y, wide, barks[placed % len(barks)])
        placed += 1
    for number in range(160):  # stones and stools
        away, turn = rng.uniform(2.0, 25.0), rng.uniform(-0.8, 0.8)
        made[f"stone_{number}"] = {
            "type": "sphere",
            "center": [away * math.sin(turn), away * math.cos(turn), -0.02],
            "radius": float(rng.uniform(0.04, 0.16)),
            "surface": barks[number % len(barks)],
        }
    return made


def trunk(x: float, y: float, wide: float, skin: dict[str, Any]) -> dict[str, Any]:
    """Make an upright cylinder."""
    return {
        "type": "cylinder", "p0": [x, y, -0.5], "p1": [x, y, 19.0], "radius": wide / 2.0,
        "surface": skin,
    }  # fmt: skip


def axes(view: View) -> np.ndarray:
    """Right, down and forward of a view, as rows."""
    yaw, pitch, roll = (math.radians(v) for v in (view.yaw_deg, view.pitch_deg, view.roll_deg))
    forward = np.array([math.sin(yaw) * math.cos(pitch), math.cos(yaw) * math.cos(pitch),
                        math.sin(pitch)])  # fmt: skip
    level = np.array([math.cos(yaw), -math.sin(yaw), 0.0])
    up = np.cross(level, forward)
    right = math.cos(roll) * level - math.sin(roll) * up
    down = -(math.cos(roll) * up + math.sin(roll) * level)
    return np.stack([right, down, forward])


def scene(wood: Wood, shot: Shot, *, width: int) -> dict[str, Any]:
    """Put the whole scene together as Mitsuba takes it."""
    view, (_right, down, forward) = shot.view, axes(shot.view)
    origin = np.array([view.x_m, view.y_m, view.z_m])
    camera: dict[str, Any] = {
        "type": "perspective",
        "fov": math.degrees(2.0 * math.atan(SENSOR_MM[0] / 2.0 / view.focal_length_mm)),
        "fov_axis": "x",
        "near_clip": 0.05,
        "to_world": Turn().look_at(
            origin=list(origin), target=list(origin + forward), up=list(-down)
        ),
        "film": {
            "type": "hdrfilm", "width": width, "height": width * 2 // 3,
            "rfilter": {"type": "gaussian", "stddev": 0.45},
        },
        "sampler": {"type": "independent", "sample_count": shot.samples, "seed": wood.seed},
    }  # fmt: skip
    whole: dict[str, Any] = {
        "type": "scene",
        "integrator": {"type": "path", "max_depth": 4},
        "sky": {"type": "constant", "radiance": {"type": "rgb", "value": 1.0}},
        "sensor": camera,
        **shapes(wood),
    }
    if shot.low_sun:
        whole["sun"] = {
            "type": "directional",
            "direction": [0.45, -0.85, -0.27],  # from ahead and to the left, 16 degrees up
            "irradiance": {"type": "rgb", "value": 6.0},
        }
    if shot.extinction_per_m > 0.0:
        mist = {
            "type": "homogeneous", "albedo": 0.985, "sigma_t": shot.extinction_per_m,
            "phase": {"type": "hg", "g": 0.55},
        }  # fmt: skip
        whole["mist"] = {
            "type": "cube",
            "to_world": Turn().translate([0, 0, 14.0]).scale([250.0, 250.0, 15.0]),
            "surface": {"type": "null"},
            "interior": {"id": "air", **mist},
        }
        camera["medium"] = {"type": "ref", "id": "air"}
        whole["integrator"] = {"type": "volpath", "max_depth": 24, "rr_depth": 12}
    return whole


def marks(wood: Wood, view: View, *, width: int) -> dict[str, Any]:
    """Where each trunk's edges and foot fall, in pixels; None where out of the frame."""
    turn, place = axes(view), np.array([view.x_m, view.y_m, view.z_m])
    focal, height = view.focal_length_mm / SENSOR_MM[0] * width, width * 2 // 3

    def pixel(point: list[float]) -> tuple[float, float]:
        right, down, depth = turn @ (np.asarray(point) - place)
        return (
            float(focal * right / depth + (width - 1) / 2),
            float(focal * down / depth + (height - 1) / 2),
        )

    found = {}
    for name, x, y, wide in wood.trunks:
        dx, dy = x - view.x_m, y - view.y_m
        away, bearing = math.hypot(dx, dy), math.atan2(dx, dy)
        half = math.asin(wide / 2.0 / away)
        touch = away * math.cos(half)

        def edge(turned: float, touch: float = touch) -> tuple[float, float]:
            return pixel(
                [view.x_m + touch * math.sin(turned), view.y_m + touch * math.cos(turned),
                 view.z_m]
            )  # fmt: skip

        near = away - wide / 2.0
        foot = pixel(
            [view.x_m + near * math.sin(bearing), view.y_m + near * math.cos(bearing), 0.0]
        )
        left, right_ = edge(bearing - half), edge(bearing + half)
        found[name] = {
            "distance_m": away,
            "bearing_deg": math.degrees(bearing),
            "left_px": left,
            "right_px": right_,
            "foot_px": foot if foot[1] < height - 1 else None,
            "half_deg": math.degrees(half),
        }
    for one in found.values():
        one["seen_frac"] = 1.0 - max(
            (hidden(one, other) for other in found.values() if other is not one), default=0.0
        )
    return found


def hidden(one: dict[str, Any], other: dict[str, Any]) -> float:
    """Give the share of a trunk that another, nearer one hides."""
    if other["distance_m"] > one["distance_m"]:
        return 0.0
    apart = abs(one["bearing_deg"] - other["bearing_deg"])
    covered = one["half_deg"] + other["half_deg"] - apart
    return min(1.0, max(0.0, covered / (2.0 * one["half_deg"])))


def to_grey(linear: np.ndarray, exposure: float) -> np.ndarray:
    """8-bit grey by the sRGB curve."""
    grey = np.clip(linear[..., :3] @ np.array([0.2126, 0.7152, 0.0722]) * exposure, 0.0, 1.0)
    coded = np.where(grey <= 0.0031308, 12.92 * grey, 1.055 * grey ** (1 / 2.4) - 0.055)
    return np.asarray(np.round(coded * 255.0), dtype=np.uint8)


def save(grey: np.ndarray, path: Path, focal_length_mm: float) -> None:
    """Write a PNG that tells its focal length as a camera would."""
    exif = Image.Exif()
    exif[0x8769] = {0x920A: focal_length_mm, 0xA405: round(focal_length_mm)}
    Image.fromarray(grey).save(path, optimize=True, exif=exif)


def main() -> None:
    """Render what is asked for."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("out", type=Path)
    ask.add_argument("--wood", choices=WOODS)
    ask.add_argument("--only", help="name of one picture, such as hanger-clear-a")
    ask.add_argument("--width", type=int, default=720)
    ask.add_argument("--samples", type=int)
    given = ask.parse_args()
    given.out.mkdir(parents=True, exist_ok=True)
    for name, wood in WOODS.items():
        if given.wood not in {None, name}:
            continue
        truth_path = given.out / f"{name}.json"
        truth = {
            "width_px": given.width,
            "height_px": given.width * 2 // 3,
            "sensor_width_mm": SENSOR_MM[0],
            "trunks": {t[0]: {"x_m": t[1], "y_m": t[2], "width_m": t[3]} for t in wood.trunks},
            "shots": {},
        }
        for key, shot in wood.shots.items():
            truth["shots"][key] = {
                "extinction_per_m": shot.extinction_per_m,
                "low_sun": shot.low_sun,
                "view": asdict(shot.view),
                "marks": marks(wood, shot.view, width=given.width),
            }
            if given.only not in {None, f"{name}-{key}"}:
                continue
            loaded = mi.load_dict(scene(wood, shot, width=given.width))
            seed = zlib.crc32(f"{name}-{key}".encode()) % 100_000
            linear = np.array(mi.render(loaded, spp=given.samples or shot.samples, seed=seed))
            bright = np.percentile(linear[..., :3] @ np.full(3, 1 / 3), 98.0)
            save(
                to_grey(linear, 0.8 * shot.exposure / float(bright)),
                given.out / f"{name}-{key}.png", shot.view.focal_length_mm,
            )  # fmt: skip
            print(f"{name}-{key}", flush=True)
        truth_path.write_text(json.dumps(truth, indent=1) + "\n")


if __name__ == "__main__":
    main()
