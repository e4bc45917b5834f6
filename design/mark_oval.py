"""How often the oval of a resection holds the true place, and how long one takes.

Run: python design/mark_oval.py. Distances, a transit and the survey itself are redrawn from
their doubts; the oval should hold the true place in 2 of 3 tries.
"""

import math
import time

import numpy as np

from shivelight.scene.anchors import Anchor, Measurement, Taped, Transit, predicted
from shivelight.scene.resection import Fix, resect

TRIES = 2_000
HERE = (-0.30, -0.10)
WOODS = {
    "all round": (("Plumb", 0.0, 7.0), ("gate post", 72.0, 5.6), ("mossy stone", -128.0, 4.1)),
    "one side": (("Plumb", 0.0, 7.0), ("Crook", -25.0, 10.0), ("Pale", 30.0, 24.0)),
}


def main() -> None:
    """Count for two woods and print."""
    draw = np.random.default_rng(20271112)
    for name, places in WOODS.items():
        anchors = [
            Anchor(
                name=one,
                x_m=away * math.sin(math.radians(turn)),
                y_m=away * math.cos(math.radians(turn)),
                doubt_along_m=0.05,
                doubt_across_m=0.03,
            )
            for one, turn, away in places
        ]
        held, start, long_m = 0, time.perf_counter(), []
        for _ in range(TRIES):
            fix = resect(anchors, _measured(anchors, draw), whole=True)
            held += _inside(fix)
            long_m.append(fix.oval.long_m)
        each_ms = (time.perf_counter() - start) / TRIES * 1e3
        print(
            f"{name}: holds {held} of {TRIES} (2 of 3 is {TRIES * 2 // 3}), long half axis "
            f"{np.mean(long_m) * 100:.1f} cm, {each_ms:.1f} ms each"
        )


def _measured(anchors: list[Anchor], draw: np.random.Generator) -> list[Measurement]:
    true = {}
    for one in anchors:
        x_m, y_m = draw.multivariate_normal([one.x_m, one.y_m], one.covariance_m2)
        true[one.name] = Anchor(name=one.name, x_m=float(x_m), y_m=float(y_m))
    measured: list[Measurement] = [
        Taped(
            to=one.name,
            distance_m=math.hypot(one.x_m - HERE[0], one.y_m - HERE[1]) + draw.normal(0.0, 0.03),
            doubt_m=0.03,
        )
        for one in true.values()
    ]
    near, far = anchors[0].name, anchors[1].name
    line = Transit(near=near, far=far, doubt_deg=0.2, noted_deg=None)
    opened = predicted(line, true, np.array([HERE]))[0][0] + draw.normal(0.0, 0.2)
    measured.append(
        Transit(near=near, far=far, doubt_deg=0.2, noted_deg=None, open_deg=float(opened))
    )
    return measured


def _inside(fix: Fix) -> bool:
    right, forward = HERE[0] - fix.right_m, HERE[1] - fix.forward_m
    turn = math.radians(fix.oval.turn_deg)
    along = right * math.sin(turn) + forward * math.cos(turn)
    across = right * math.cos(turn) - forward * math.sin(turn)
    return (along / fix.oval.long_m) ** 2 + (across / fix.oval.short_m) ** 2 <= 1.0


if __name__ == "__main__":
    main()
