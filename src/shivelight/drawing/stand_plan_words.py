"""The plan of the ground in words: what it takes, its sentence and its table."""

from collections.abc import Sequence
from dataclasses import dataclass

from shivelight.basis.errors import BadInputError, require_range
from shivelight.drawing.gap_ruler_words import length_words, place_words
from shivelight.drawing.words import counted
from shivelight.scene.elements import Survey
from shivelight.scene.framing import Reach

PLAN_HEADERS = ("what", "right of the mark", "ahead", "width")


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanStand:
    """A place to stand, as it is drawn on the plan.

    Attributes
    ----------
    number : int
        As in the list of answers; 1 is the best.
    x_m, y_m : float
        Right and ahead of the mark. [m]
    drift_m : (left, right, back, forward) or None
        How far the lens may stray before a pair touches. [m]
    """

    number: int
    x_m: float
    y_m: float
    drift_m: tuple[float, float, float, float] | None = None

    def __post_init__(self) -> None:
        if self.number < 1:
            raise BadInputError("Stands are numbered from 1.")
        for drift in self.drift_m or ():
            require_range("drift of a stand", drift, 0.0, 1_000.0, "m")


def plan_sentence(survey: Survey, reach: Reach, stands: Sequence[PlanStand]) -> str:
    """Say what the plan shows.

    Parameters
    ----------
    survey : Survey
        What stands there.
    reach : Reach
        How far one will go.
    stands : sequence of PlanStand
        Places to stand.
    """
    said = ["The ground from above, ahead is up."]
    if survey.trunks:
        away = [one.distance_m for one in survey.trunks]
        far = (
            f"{min(away):.1f} to {max(away):.1f} m off"
            if len(away) > 1
            else f"{away[0]:.1f} m off"
        )
        said.append(f"{_first(counted(len(away), 'trunk'))}, {far}.")
    ways = (
        (reach.left_m, "left"), (reach.right_m, "right"),
        (reach.forward_m, "forward"), (reach.back_m, "back"),
    )  # fmt: skip
    gone = [f"{length_words(metres)} {side}" for metres, side in ways if metres > 0.0]
    said.append(f"Reach: {', '.join(gone) or 'none'}.")
    said += [f"Stand {one.number}: {stand_words(one)}." for one in stands]
    if survey.closed:
        said.append(f"Kept out of: {', '.join(one.name for one in survey.closed)}.")
    return " ".join(said)


def stand_words(stand: PlanStand) -> str:
    """Say where a stand is: "65 cm right, 20 cm forward of your mark"."""
    parts = [
        place_words(metres, along)
        for metres, along in ((stand.x_m, "x"), (stand.y_m, "y"))
        if round(abs(metres) * 100.0)
    ]
    return f"{', '.join(parts)} of your mark" if parts else "at your mark"


def plan_rows(survey: Survey, stands: Sequence[PlanStand]) -> tuple[tuple[str, ...], ...]:
    """Lay the plan out as a table: stands, trunks, branches, closed ground."""
    rows = [(f"stand {one.number}", f"{one.x_m:.2f} m", f"{one.y_m:.2f} m", "") for one in stands]
    rows += [
        (one.name, f"{one.x_m:.2f} m", f"{one.y_m:.2f} m", f"{one.width_m:.2f} m")
        for one in survey.trunks
    ]
    for piece in survey.segments:
        (x, y, _), (to_x, to_y, _) = piece.start_m, piece.end_m
        across, ahead = f"{x:.2f} to {to_x:.2f} m", f"{y:.2f} to {to_y:.2f} m"
        rows.append((piece.name, across, ahead, f"{piece.width_m:.2f} m"))
    for closed in survey.closed:
        if closed.corners_m:
            xs, ys = zip(*closed.corners_m, strict=True)
            across, ahead = (f"{min(one):.2f} to {max(one):.2f} m" for one in (xs, ys))
            rows.append((f"{closed.name}, kept out of", across, ahead, ""))
        else:
            x, y = closed.centre_m
            ring = f"ring of {closed.radius_m:g} m"
            rows.append((f"{closed.name}, kept out of", f"{x:.2f} m", f"{y:.2f} m", ring))
    return tuple(rows)


def _first(words: str) -> str:
    return words[0].upper() + words[1:]
