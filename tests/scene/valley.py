"""Plumb and Lean, the demo's five beeches, for tests of the scene room."""

from shivelight.scene.elements import Doubt, Role, Survey, trunk_at

BEECHES = (
    ("Stub", -10.5, 18.0, 0.38),
    ("Crook", -6.0, 10.0, 0.60),
    ("Plumb", 0.0, 7.0, 0.55),
    ("Lean", 1.1, 13.0, 0.42),
    ("Pale", 5.2, 24.0, 0.30),
)
"""Name, angle from the lens axis, distance and width: DEMO.md, 6.3."""


def plumb_and_lean(
    *, mirror: bool = False, scale: float = 1.0, doubt: Doubt | None = None
) -> Survey:
    """Give the five beeches, mirrored or enlarged if asked."""
    return Survey(
        trunks=tuple(
            trunk_at(
                name,
                -angle if mirror else angle,
                distance_m=distance * scale,
                width_m=width * scale,
                role=Role.SUBJECT if name == "Plumb" else Role.COMPANION,
                doubt=doubt or Doubt(),
            )
            for name, angle, distance, width in BEECHES
        )
    )
