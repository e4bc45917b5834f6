"""The predicted frame in words: its gaps, what overlaps, what it leaves out."""

import math
from collections.abc import Sequence


def frame_sentence(
    gaps: Sequence[tuple[str, str, float]],
    *,
    mist_range_m: float | None = None,
    cut: Sequence[str] = (),
) -> str:
    """Say what the frame shows.

    Parameters
    ----------
    gaps : sequence of (str, str, float)
        Left and right of each pair and the air between them; below 0 they overlap, infinite
        where one is above the other. [°]
    mist_range_m : float, optional
        Paced optical range. [m]
    cut : sequence of str
        Trunks that the frame leaves out.
    """
    air = "clear air" if mist_range_m is None else f"mist of {mist_range_m:.0f} m"
    said = [f"Drawn through {air}, rough."]
    parted = [one for one in gaps if 0.0 <= one[2] < math.inf]
    opened = [f"{left} to {right} {gap:.2f}°" for left, right, gap in parted]
    if opened:
        said.append(f"Gaps: {', '.join(opened)}.")
    said += [f"{left} and {right} overlap." for left, right, gap in gaps if gap < 0.0]
    if cut:
        said.append(f"Outside the frame: {', '.join(cut)}.")
    return " ".join(said)


def frame_rows(gaps: Sequence[tuple[str, str, float]]) -> tuple[tuple[str, str], ...]:
    """Lay the gaps out as a table of pair and gap."""
    return tuple((f"{left} | {right}", _words(gap)) for left, right, gap in gaps)


def _words(gap_deg: float) -> str:
    if math.isinf(gap_deg) and gap_deg > 0.0:
        return "clear"
    return "closed" if gap_deg < 0.0 else f"{gap_deg:.2f}°"
