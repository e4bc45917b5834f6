"""The predicted frame in words: its gaps, what overlaps, what it leaves out."""

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
        Left and right of each pair and the air between them; below 0 they overlap. [°]
    mist_range_m : float, optional
        Paced optical range. [m]
    cut : sequence of str
        Trunks that the frame leaves out.
    """
    air = "clear air" if mist_range_m is None else f"mist of {mist_range_m:.0f} m"
    said = [f"Drawn through {air}, rough."]
    opened = [f"{left} to {right} {gap:.2f}°" for left, right, gap in gaps if gap >= 0.0]
    if opened:
        said.append(f"Gaps: {', '.join(opened)}.")
    said += [f"{left} and {right} overlap." for left, right, gap in gaps if gap < 0.0]
    if cut:
        said.append(f"Outside the frame: {', '.join(cut)}.")
    return " ".join(said)


def frame_rows(gaps: Sequence[tuple[str, str, float]]) -> tuple[tuple[str, str], ...]:
    """Lay the gaps out as a table of pair and gap."""
    return tuple(
        (f"{left} | {right}", "closed" if gap < 0.0 else f"{gap:.2f}°")
        for left, right, gap in gaps
    )
