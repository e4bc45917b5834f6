"""The mark of a spot as its page says it: its anchors, how well they hold, where one stands."""

from collections.abc import Mapping
from dataclasses import dataclass

from shivelight.basis.errors import BadInputError
from shivelight.drawing.figure import Figure
from shivelight.drawing.find_again import MarkSetting, find_again_figure
from shivelight.drawing.fix_plan import FixPlan, fix_plan_figure
from shivelight.drawing.words import date_words
from shivelight.outing.marks import MarkAnchors, NotedTransit, length_words
from shivelight.outing.spots import Spot
from shivelight.scene.anchors import Side
from shivelight.scene.elements import Survey
from shivelight.web.boxes import Box, opened
from shivelight.web.forms import Form
from shivelight.web.show import link
from shivelight.workbench.mark import MarkFound, MarkPage, Measured

IN_LINE = frozenset({"in line", "yes", "line", "0"})
MOST = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class AnchorRow:
    """One thing that anchors the mark: what was noted of it, and whether it is gone."""

    name: str
    lines: tuple[str, ...]
    is_gone: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """Where one stands: the answer, what was left out, how each measurement fits, the plan."""

    words: str
    left_out: tuple[str, ...]
    headers: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    plan: Figure


@dataclass(frozen=True, slots=True, kw_only=True)
class MarksPage:
    """The mark of a spot.

    Attributes
    ----------
    spot : str
        Whose.
    answer : str
        How well it will be found again.
    warnings : tuple of str
        What is weak.
    strip : Figure or None
        The find-it-again strip; None where nothing is noted.
    anchors : tuple of AnchorRow
        By thing.
    note : Form
        To note more.
    find : tuple of Box
        What can be measured now.
    more : tuple of Box
        Other measurements, for who has made them.
    found : Found or None
        Where one stands.
    wrong : str
        Why that could not be told.
    confirmed : str
        When the mark was last found right.
    surveyed : tuple of str
        Names of trunks whose places are known.
    hrefs : dict of str to str
        Pages that belong to it.
    """

    spot: str
    answer: str
    warnings: tuple[str, ...]
    strip: Figure | None
    anchors: tuple[AnchorRow, ...]
    note: Form
    find: tuple[Box, ...]
    more: tuple[Box, ...]
    found: Found | None
    wrong: str
    confirmed: str
    surveyed: tuple[str, ...]
    hrefs: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkShown:
    """What the page is made from."""

    spot: Spot
    survey: Survey
    mark: MarkPage
    note: Form
    asked: Mapping[str, str]
    found: MarkFound | None = None
    wrong: str = ""


def marks_page(shown: MarkShown) -> MarksPage:
    """Put the page together."""
    anchors, spot = shown.mark.anchors, shown.spot
    has_any = bool(anchors.transits or anchors.distances)
    setting = MarkSetting(
        lens_height_m=spot.lens_height_m,
        bearing_deg=spot.view_azimuth_deg,
        focal_length_mm=spot.focal_length_mm,
        confirmed_on=spot.mark.last_confirmed,
    )
    strip = find_again_figure(anchors, setting, survey=shown.survey) if has_any else None
    return MarksPage(
        spot=spot.name,
        answer=_answer(shown.mark),
        warnings=shown.mark.notes if has_any else (),
        strip=strip,
        anchors=_anchors(anchors),
        note=shown.note,
        find=_find(anchors, shown.asked),
        more=_more(shown.asked),
        found=None if shown.found is None else _found(shown.found),
        wrong=opened(shown.wrong),
        confirmed=_confirmed(spot),
        surveyed=tuple(one.name for one in shown.survey.trunks),
        hrefs={
            "spot": link("/spot", name=spot.name),
            "survey": link("/survey", spot=spot.name),
            "stand": link("/stand", spot=spot.name),
        },
    )


def measured_from(asked: Mapping[str, str], anchors: MarkAnchors) -> Measured | None:
    """Read what was measured now; None where nothing was.

    Raises
    ------
    BadInputError
        If more was sent than a mark can have.
    """
    distances = [
        f"{one.to}={text}"
        for one in anchors.held_distances
        if (text := asked.get(f"d.{one.to}", "").strip())
    ]
    transits = []
    for number, one in enumerate(anchors.held_transits, start=1):
        said = asked.get(f"t.{number}", "").strip().lower()
        if said:
            opened_by = "" if said in IN_LINE else f" = {said}"
            transits.append(f"{_ends(one)}{opened_by}")
    lists = {key: _lines(asked.get(key, "")) for key in ("distances", "angles", "bearings")}
    if len(distances) + len(transits) + sum(map(len, lists.values())) > MOST:
        raise BadInputError(f"More than {MOST} measurements; the nearest few are enough.")
    if not distances and not transits and not any(lists.values()):
        return None
    return Measured(
        distances=(*distances, *lists["distances"]),
        transits=tuple(transits),
        angles=lists["angles"],
        bearings=lists["bearings"],
    )


def _answer(mark: MarkPage) -> str:
    if not mark.anchors.transits and not mark.anchors.distances:
        return "No anchors yet. Note two things in line, or distances to two trunks."
    if mark.strength is None or mark.strength.oval is None:
        return "These anchors fix no place yet; two lines that cross are wanted."
    error = length_words(max(mark.strength.oval.long_m, 0.01))
    return f"You will find it again to about {error}, in 2 of 3 tries."


def _anchors(anchors: MarkAnchors) -> tuple[AnchorRow, ...]:
    told: dict[str, list[str]] = {}
    for line in anchors.transits:
        for name in (line.near, line.far):
            told.setdefault(name, []).append(opened(line.words))
    for one in anchors.distances:
        told.setdefault(one.to, []).append(
            opened(f"{one.words}, give or take {length_words(max(one.doubt_m, 0.01))}")
        )
    return tuple(
        AnchorRow(name=name, lines=tuple(lines), is_gone=anchors.is_lost(name))
        for name, lines in told.items()
    )


def _find(anchors: MarkAnchors, asked: Mapping[str, str]) -> tuple[Box, ...]:
    taped = [
        Box(
            key=f"d.{one.to}",
            label=f"To the middle of {one.to}",
            unit="m",
            hint=f"{one.distance_m:.2f} m on the mark.",
            text=asked.get(f"d.{one.to}", ""),
        )
        for one in anchors.held_distances
    ]
    lines = [
        Box(
            key=f"t.{number}",
            label=opened(one.words),
            hint=(
                f"Type: in line. Or by how much {one.far} stands to the side: 0.3 right, "
                "1 finger left."
            ),
            text=asked.get(f"t.{number}", ""),
        )
        for number, one in enumerate(anchors.held_transits, start=1)
    ]
    return (*taped, *lines)


def _more(asked: Mapping[str, str]) -> tuple[Box, ...]:
    told = (
        ("distances", "Distances to other trunks of the survey", "One a line: Pale=23.6."),
        ("angles", "Angles between two trunks", "One a line: Crook to Plumb=6."),
        ("bearings", "True bearings by compass", "One a line: Plumb=205."),
    )
    return tuple(
        Box(key=key, label=label, hint=hint, text=asked.get(key, ""), many=True)
        for key, label, hint in told
    )


def _found(found: MarkFound) -> Found:
    fix = found.fix
    plan = FixPlan(
        right_m=fix.right_m,
        forward_m=fix.forward_m,
        long_m=fix.oval.long_m,
        short_m=fix.oval.short_m,
        turn_deg=fix.oval.turn_deg,
        words=found.words,
        elsewhere_m=fix.elsewhere_m,
    )
    return Found(
        words=found.words,
        left_out=found.left_out,
        headers=("measured", "off what this place would give"),
        rows=tuple((opened(one.what), _off(one.off, one.unit)) for one in fix.misfits),
        plan=fix_plan_figure(plan),
    )


def _off(off: float, unit: str) -> str:
    return f"{off * 100.0:+.0f} cm" if unit == "m" else f"{off:+.2f}°"


def _ends(line: NotedTransit) -> str:
    sides = [
        name if side is Side.MIDDLE else f"{name} {side.value}"
        for name, side in ((line.near, line.near_side), (line.far, line.far_side))
    ]
    return " / ".join(sides)


def _lines(text: str) -> tuple[str, ...]:
    return tuple(line.strip() for line in text.splitlines() if line.strip())


def _confirmed(spot: Spot) -> str:
    last = spot.mark.last_confirmed
    return "Not found again yet." if last is None else f"Last found right on {date_words(last)}."
