"""Trunks measured on photographs, and how far off a final photograph was, in words."""

from dataclasses import dataclass

from shivelight.cli.say.words import blocks, item, lines, para
from shivelight.drawing.tables import table
from shivelight.scene.from_photos import MeasuredTrunk
from shivelight.workbench.photo_after import After
from shivelight.workbench.survey_pairs import PairSurvey, PhotoSurvey

_HEADS = ("trunk", "distance", "off the axis", "width", "measured by")


@dataclass(frozen=True, slots=True, kw_only=True)
class Distance:
    """How far a trunk stands from the camera, and the standard error of that. [m]."""

    name: str
    distance_m: float
    error_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What photographs told of a spot's trunks.

    Attributes
    ----------
    spot : str
        Whose.
    kept : tuple of str
        Trunks that were taken into its survey.
    distances : tuple of Distance
        Of the trunks that were measured, as marked.
    found : PhotoSurvey or PairSurvey
        All that was measured.
    """

    spot: str
    kept: tuple[str, ...]
    distances: tuple[Distance, ...]
    found: PhotoSurvey | PairSurvey


def distance_of(one: MeasuredTrunk) -> Distance:
    """Give a trunk's distance as it is told."""
    trunk = one.trunk
    return Distance(name=trunk.name, distance_m=trunk.distance_m, error_m=trunk.doubt.distance_m)


def told(one: Told, width: int) -> str:
    """Show distances with their errors, what is odd, and what was left out."""
    found = one.found
    notes = list(found.sentences)
    if isinstance(found, PairSurvey):
        notes.append(f"Both photos agree on {found.matches} points.")
    rows = [_row(trunk) for trunk in sorted(found.trunks, key=lambda one: one.trunk.distance_m)]
    odd = [(trunk.trunk.name, trunk.sentences) for trunk in found.trunks if trunk.sentences]
    return blocks(
        table(rows, _HEADS, width=width) if rows else "No trunk could be measured.",
        lines(
            *(item(name, said, width, gutter=22) for name, said in odd),
            *(para(why, width, indent=2) for _, why in found.not_measured),
        ),
        lines(*(para(note, width, indent=2) for note in notes)),
        para(_kept(one), width) if rows else "",
    )


def _row(one: MeasuredTrunk) -> tuple[str, ...]:
    trunk, doubt = one.trunk, one.trunk.doubt
    return (
        trunk.name,
        f"{trunk.distance_m:.2f} m ± {doubt.distance_m:.2f}",
        f"{trunk.angle_deg:+.1f}° ± {doubt.angle_deg:.1f}",
        f"{trunk.width_m * 100.0:.0f} cm ± {max(doubt.width_m * 100.0, 0.5):.0f}",
        " and ".join(one.ways),
    )


def _kept(one: Told) -> str:
    if not one.kept:
        return "Nothing was kept; with --keep the trunks go into the survey."
    count = "1 trunk is" if len(one.kept) == 1 else f"{len(one.kept)} trunks are"
    return f"{count} in the survey of {one.spot}: {', '.join(one.kept)}."


def after_words(one: After, width: int) -> str:
    """Say how far off the photograph was, from which place, and what told it."""
    missing = ", ".join(one.not_surveyed)
    return blocks(
        para(one.words, width),
        lines(
            item("wished", [_wished(one)], width),
            item("told by", [", ".join(one.told_by)], width),
            item("left aside", [f"{missing}: not in the survey"], width) if missing else "",
        ),
        para("The height of the lens is not told by trunks alone.", width, indent=2),
    )


def _wished(one: After) -> str:
    if one.stand_utc is None:
        return "the mark, since no stand was taken"
    right, forward = one.wished_right_m, one.wished_forward_m
    parts = [
        f"{abs(off):.2f} m {plus if off > 0.0 else minus}"
        for off, plus, minus in ((right, "right", "left"), (forward, "forward", "back"))
        if abs(off) >= 0.005
    ]
    place = f"{' and '.join(parts)} of the mark" if parts else "on the mark"
    return f"the stand taken on {str(one.stand_utc)[:10]}, {place}"
