"""Surveys in words."""

from pathlib import Path

from shivelight.cli.say.words import blocks, item, lines, para
from shivelight.drawing.tables import table
from shivelight.scene.elements import ClosedGround, Segment, SkyHole, Trunk
from shivelight.workbench.survey import SurveyPage


def page(one: SurveyPage, width: int) -> str:
    """Show the elements of a spot, near to far."""
    survey = one.survey
    if not survey.names:
        return (
            f"{one.spot}: no trunks yet. Add two, the near one first, with: shivelight survey add "
            f"'{one.spot}' trunk NAME --angle ANGLE --distance LENGTH --width LENGTH"
        )
    slope = survey.slope
    ground = ""
    if slope.rise_right_frac or slope.rise_forward_frac:
        ground = (
            f"rises {slope.rise_right_frac:+.2f} m a metre to the right, "
            f"{slope.rise_forward_frac:+.2f} m a metre forward"
        )
    others: list[Segment | SkyHole | ClosedGround] = [*survey.segments, *survey.holes]
    others += survey.closed
    trunks = sorted(survey.trunks, key=lambda trunk: trunk.distance_m)
    return blocks(
        lines(f"{one.spot}, as surveyed", *(para(note, width, indent=2) for note in one.notes)),
        table([_trunk(trunk) for trunk in trunks], _HEADS, width=width) if trunks else "",
        lines(
            *(item(part.name, [_other(part)], width, gutter=22) for part in others),
            item("ground", [ground], width, gutter=22) if ground else "",
        ),
        lines(
            *(
                item(name, [words], width, gutter=22)
                for name, words in one.how.items()
                if any(name == trunk.name for trunk in survey.trunks)
            ),
        ),
        para("Doubts go by how it was measured, unless typed: a judgement.", width, indent=2),
    )


_HEADS = ("trunk", "role", "angle", "distance", "width", "lean")


def _trunk(trunk: Trunk) -> tuple[str, ...]:
    doubt = trunk.doubt
    lean = " ".join(
        part
        for part in (
            _signed(trunk.lean_right_deg, "right", "left"),
            _signed(trunk.lean_away_deg, "away", "toward"),
        )
        if part
    )
    return (
        trunk.name,
        str(trunk.role),
        f"{trunk.angle_deg:+.1f}° ± {doubt.angle_deg:.1f}",
        f"{trunk.distance_m:.2f} m ± {doubt.distance_m:.2f}",
        f"{trunk.width_m * 100.0:.0f} cm ± {doubt.width_m * 100.0:.0f}",
        lean or "upright",
    )


def _signed(value_deg: float, more: str, less: str) -> str:
    if abs(value_deg) < 0.05:
        return ""
    return f"{abs(value_deg):.0f}° {more if value_deg > 0.0 else less}"


def _other(one: Segment | SkyHole | ClosedGround) -> str:
    if isinstance(one, Segment):
        ends = " to ".join(_point(*point) for point in (one.start_m, one.end_m))
        return f"branch or log, {one.role}, {one.width_m * 100.0:.0f} cm thick, {ends}"
    if isinstance(one, SkyHole):
        return (
            f"sky hole, {one.angle_deg:+.1f}°, {one.altitude_deg:.1f}° up, {one.width_deg:.1f} x "
            f"{one.height_deg:.1f}°"
        )
    if one.corners_m:
        return f"closed ground of {len(one.corners_m)} corners"
    return (
        f"closed, a ring of {one.radius_m:.1f} m round {_side(one.centre_m[0])}, "
        f"{one.centre_m[1]:.1f} m forward"
    )


def _point(x_m: float, y_m: float, z_m: float) -> str:
    return f"{_side(x_m)}, {y_m:.1f} m forward, {z_m:.1f} m up"


def _side(x_m: float) -> str:
    return f"{abs(x_m):.1f} m {'right' if x_m >= 0.0 else 'left'}"


def exported(told: str | Path, _width: int) -> str:
    """Show the table itself, or say where it was written."""
    return f"written: {told}" if isinstance(told, Path) else told.rstrip("\n")
