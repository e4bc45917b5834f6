"""Rendered woods with their truth, for the tests of what is measured on photographs."""

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image

from shivelight.frames.pinhole import Pinhole
from shivelight.scene.camera import Camera
from shivelight.scene.photo_marks import PhotoView, TrunkMark

FOLDER = Path(__file__).parent / "data" / "renders"


@dataclass(frozen=True)
class Render:
    """One picture of a wood whose every distance is known."""

    wood: str
    shot: str

    @property
    def data(self) -> bytes:
        return (FOLDER / f"{self.wood}-{self.shot}.png").read_bytes()

    @property
    def grey(self) -> "np.ndarray[Any, np.dtype[np.uint8]]":
        with Image.open(FOLDER / f"{self.wood}-{self.shot}.png") as image:
            return np.asarray(image.convert("L"), dtype=np.uint8)

    @property
    def truth(self) -> dict[str, Any]:
        whole: dict[str, Any] = json.loads((FOLDER / f"{self.wood}.json").read_text())
        return whole

    @property
    def taken(self) -> dict[str, Any]:
        shot: dict[str, Any] = self.truth["shots"][self.shot]
        return shot

    @property
    def place_m(self) -> "np.ndarray[Any, np.dtype[np.float64]]":
        view = self.taken["view"]
        return np.array([view["x_m"], view["y_m"], view["z_m"]])

    @property
    def lens(self) -> Pinhole:
        truth = self.truth
        focal_mm = self.taken["view"]["focal_length_mm"]
        return Pinhole(
            focal_px=focal_mm / truth["sensor_width_mm"] * truth["width_px"],
            width_px=truth["width_px"],
            height_px=truth["height_px"],
        )

    @property
    def view(self) -> PhotoView:
        truth, view = self.truth, self.taken["view"]
        return PhotoView(
            camera=Camera(
                z_m=view["z_m"],
                pitch_deg=view["pitch_deg"],
                roll_deg=view["roll_deg"],
                focal_length_mm=view["focal_length_mm"],
            ),
            width_px=truth["width_px"],
            height_px=truth["height_px"],
        )

    def marks(self, *, off_px: float = 0.0, seed: int = 3) -> tuple[TrunkMark, ...]:
        """Trunks as marked by a hand that is out by so much."""
        draws = np.random.default_rng(seed)
        made = []
        for name, one in self.taken["marks"].items():
            off = draws.normal(0.0, off_px, 4) if off_px else np.zeros(4)
            foot = one["foot_px"]
            inside = (
                one["seen_frac"] > 0.7
                and one["left_px"][0] > 4.0
                and one["right_px"][0] < self.truth["width_px"] - 5.0
            )
            if not inside:
                continue
            made.append(
                TrunkMark(
                    name=name,
                    left_px=one["left_px"][0] + off[0],
                    right_px=one["right_px"][0] + off[1],
                    row_px=one["left_px"][1],
                    foot_px=None if foot is None else (foot[0] + off[2], foot[1] + off[3]),
                )
            )
        return tuple(made)

    def distance_m(self, name: str) -> float:
        return float(self.taken["marks"][name]["distance_m"])


def step_m(one: Render, other: Render) -> float:
    """How far apart two cameras stood."""
    return float(np.linalg.norm(other.place_m - one.place_m))
