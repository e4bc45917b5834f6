"""How well a step between two photographs tells a distance, and when it is too short.

References
----------
.. [1] Depth from a step: Z = f B / d, and its error Z² sigma / (f B) (plain perspective).
"""

import math
from dataclasses import dataclass

from shivelight.basis.errors import require_range

TOO_WIDE = 1.5
"""A step is too short where near and far ends of a distance (2 sigma) are this far apart."""
WANTED_DOUBT_FRAC = 0.045
"""Standard error that a step is advised for: 20 m told from 24 m (a judgement)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StepDoubt:
    """How well a step tells a distance.

    Attributes
    ----------
    nearer_m, farther_m : float
        Between these the distance lies, 2 standard errors either way; infinite for no end. [m]
    wanted_step_m : float
        Step that tells it to 1 in 20 or so. [m]
    """

    nearer_m: float
    farther_m: float
    wanted_step_m: float

    @property
    def is_too_short(self) -> bool:
        """Whether the step says next to nothing of the distance."""
        return self.farther_m > TOO_WIDE * self.nearer_m


def step_doubt(distance_m: float, error_m: float, *, step_m: float) -> StepDoubt:
    """Say how well a step tells a distance, given the error that it left.

    Parameters
    ----------
    distance_m, error_m : float
        Measured, and its standard error. [m]
    step_m : float
        The step. [m]
    """
    inverse, off = 1.0 / distance_m, 2.0 * error_m / distance_m**2
    wanted_m = step_m * max(error_m / distance_m / WANTED_DOUBT_FRAC, 0.0)
    return StepDoubt(
        nearer_m=1.0 / (inverse + off),
        farther_m=1.0 / (inverse - off) if inverse > off else math.inf,
        wanted_step_m=math.ceil(wanted_m * 10.0) / 10.0,
    )


def expected_error_m(
    distance_m: float, *, step_m: float, focal_px: float, noise_px: float = 0.7
) -> float:
    """Give the standard error of a distance that a step aside can be hoped to have [1]_. [m].

    Parameters
    ----------
    distance_m, step_m : float
        Of the trunk, and between the cameras, at right angles to the view. [m]
    focal_px : float
        Focal length at the size worked at. [px]
    noise_px : float
        Standard error of a shift between the pictures, the pose's share included (a judgement).
        [px]
    """
    require_range("distance", distance_m, 0.1, 2000.0, "m")
    require_range("step", step_m, 0.01, 50.0, "m")
    return distance_m**2 * noise_px / (focal_px * step_m)


def step_sentence(name: str, doubt: StepDoubt, *, step_m: float) -> str:
    """Say that a step is too short, and which one to take."""
    far = "any distance beyond" if math.isinf(doubt.farther_m) else f"{doubt.farther_m:.0f} m"
    return (
        f"{name}: a step of {step_m:g} m cannot tell {doubt.nearer_m:.0f} m from {far}; step "
        f"{min(doubt.wanted_step_m, 9.0):.1f} m."
    )
