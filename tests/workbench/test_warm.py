"""Warming compiles the loops of the search and of the ray-caster, and all of them."""

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from shivelight.workbench import warm

AFTER_WARMING = """
from shivelight.scene import _cast_kernel, _view_scores, gaps, pair_gaps, silhouettes
from shivelight.scene.camera import Camera
from shivelight.scene.framing import Framing, Reach
from shivelight.scene.raycast import LowSun, cast
from shivelight.scene.standpoint import find_standpoints
from shivelight.workbench.warm import warm
from tests.scene.valley import plumb_and_lean

def compiled():
    return {
        f"{module.__name__}.{name}": len(loop.signatures)
        for module in (_cast_kernel, _view_scores, pair_gaps, silhouettes)
        for name, loop in vars(module).items()
        if hasattr(loop, "signatures")
    }

before = compiled()
warm()
ready = compiled()
survey, mark = plumb_and_lean(), Camera(z_m=1.1, focal_length_mm=100.0)
find_standpoints(survey, Framing(), Reach(), now=mark, tries=3)
gaps.gaps_at(survey, (0.65, 0.0, 1.1))
cast(survey, mark, size=(30, 20))
cast(survey, mark, size=(30, 20), mist_range_m=120.0)
cast(survey, mark, size=(30, 20), sun=LowSun(angle_deg=-30.0, altitude_deg=6.0))
assert sum(ready.values()) > sum(before.values()), "warming compiled nothing"
print(sorted(name for name, count in compiled().items() if count > ready[name]))
"""


def test_the_small_wood_has_an_answer_with_its_drift_and_spread() -> None:
    found = warm.searched()
    assert found.best is not None
    assert found.best.touch is not None
    assert found.best.spread is not None


def test_the_small_wood_shows_ground_sky_and_every_kind_of_piece() -> None:
    seen = warm.shown()
    assert set(np.unique(seen.element_id)) == set(range(-2, 7))
    assert np.isfinite(seen.tone).all()


@pytest.mark.skipif(os.environ.get("NUMBA_DISABLE_JIT") == "1", reason="nothing is compiled")
def test_after_warming_the_demo_wood_compiles_nothing_more() -> None:
    done = subprocess.run(
        [sys.executable, "-c", AFTER_WARMING],
        cwd=Path(__file__).parents[2],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stderr == ""
    assert done.stdout.strip() == "[]"
