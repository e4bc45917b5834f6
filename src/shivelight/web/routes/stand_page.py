"""The page of where to stand, put together: the place that is shown, the answer, the wishes."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from shivelight.basis.errors import BadInputError, ShivelightError
from shivelight.outing.stand_words import aim_words
from shivelight.scene.camera import Camera
from shivelight.scene.elements import Survey
from shivelight.scene.pairing import parting_pairs
from shivelight.scene.stands import Stand
from shivelight.web.boxes import opened
from shivelight.web.contexts import stand as words
from shivelight.web.contexts.stand import AnswerShown, RulerShown, StandPage
from shivelight.web.contexts.stand_frame import FrameShown, frame_shown, place_title
from shivelight.web.contexts.stand_wishes import FIRST, wishes_form
from shivelight.workbench import stand_view
from shivelight.workbench.bench import Workbench
from shivelight.workbench.stand_found import StandFound
from shivelight.workbench.stand_view import Aim

PLACES = {"x": "place to the right", "y": "place forward", "z": "height of the lens"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Sent:
    """The form of wishes as it was sent, and why it was refused."""

    typed: Mapping[str, str] | None = None
    wrong: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """Where the lens was moved to, as sent along; empty for where it is anyway."""

    x: str = ""
    y: str = ""
    z: str = ""
    focal: str = ""
    off: str = ""
    pitch: str = ""
    mist: str = ""

    def query(self) -> dict[str, str]:
        """Give it as it is sent along."""
        keys = ("x", "y", "z", "focal", "off", "pitch", "mist")
        return {key: getattr(self, key) for key in keys}

    @property
    def is_moved(self) -> bool:
        """Whether a place was sent along."""
        return bool(self.x or self.y or self.z or self.focal)

    def camera(self, now: Camera) -> Camera:
        """Put a camera at this place; what is not said is as it was."""
        return replace(
            now,
            x_m=_number(self.x, now.x_m, "place to the right", "m"),
            y_m=_number(self.y, now.y_m, "place forward", "m"),
            z_m=_number(self.z, now.z_m, "height of the lens", "m"),
            focal_length_mm=_number(self.focal, now.focal_length_mm, "focal length", "mm"),
        )

    def aim(self) -> Aim:
        """Give how the camera is turned against the subject."""
        return Aim(
            off_deg=_number(self.off, 0.0, "turn", "°"),
            pitch_deg=_number(self.pitch, 0.0, "tilt", "°"),
        )

    def mist_m(self) -> float | None:
        """Give the optical range to draw in; None for clear air."""
        if not self.mist:
            return None
        metres = _number(self.mist, 0.0, "optical range", "m")
        if not 1.0 <= metres <= 100_000.0:
            raise BadInputError(
                f"The optical range is {metres:g} m; it must be 1 to 100000 m, or left empty."
            )
        return metres


def page_of(
    bench: Workbench,
    spot: str,
    found: StandFound | ShivelightError | None,
    *,
    number: int,
    moved: Moved,
    sent: Sent,
) -> StandPage:
    """Put the page together."""
    known, kept = bench.spot(spot), bench.kept_survey(spot)
    wanting = opened(str(found)) if isinstance(found, ShivelightError) else ""
    if found is None:
        wanting = "No trunks yet. Type two, near one first."
        if len(kept.survey.trunks) == 1:
            wanting = "One trunk so far. One more, and gaps can be told."
    shown = None
    if isinstance(found, StandFound):
        shown = _answer(bench, found, kept.survey, number=number, moved=moved)
    return StandPage(
        spot=known.name,
        wood=known.wood,
        lede=words.lede(kept.survey, focal_mm=known.focal_length_mm, height_m=known.lens_height_m),
        shown=shown,
        wanting=wanting,
        wishes=wishes_form(bench, spot, typed=sent.typed, wrong=sent.wrong),
        first=FIRST,
        names=words.names_of(kept.survey),
        kept=words.kept_rows(spot, bench.stand(spot).stands),
        hrefs=words.hrefs_of(spot),
    )


def _answer(
    bench: Workbench, found: StandFound, survey: Survey, *, number: int, moved: Moved
) -> AnswerShown:
    now = bench.camera_at(found.spot)
    stand, at = words.chosen(found, number)
    here = found.answer.here
    seen = now if here is None else here.camera
    at_mark = _frame(found, survey, seen, moved)
    moving = at_mark if stand is None and not moved.is_moved else _moving(
        found, survey, stand, now=now, moved=moved, number=at
    )  # fmt: skip
    pairs = parting_pairs(survey, found.framing, now)
    return AnswerShown(
        answer=words.answer_words(stand, at),
        columns=words.columns(found, stand, at),
        number=at,
        clears=at > 0,
        aim=aim_words(stand) if stand else "",
        drift=words.drift_rows(stand, pairs) if stand else (),
        others=tuple(words.stand_rows(found, at)),
        at_mark=at_mark,
        moving=moving,
        ruler=_ruler(found, survey, stand, now=now) if stand and pairs else None,
        plan=bench.plan_picture(found),
        here=at_mark.reading,
    )


def _moving(
    found: StandFound,
    survey: Survey,
    stand: Stand | None,
    *,
    now: Camera,
    moved: Moved,
    number: int,
) -> FrameShown:
    base = now if stand is None else stand.camera
    aim = stand_view.aim_of(survey, found.framing, base)
    camera = base
    if moved.is_moved:
        aim = moved.aim() if moved.off or moved.pitch else aim
        camera = stand_view.aimed(survey, found.framing, moved.camera(base), aim)
    return _frame(found, survey, camera, moved, number=number)


def _frame(
    found: StandFound, survey: Survey, camera: Camera, moved: Moved, *, number: int = 0
) -> FrameShown:
    view = stand_view.frame_from(survey, camera, mist_range_m=moved.mist_m())
    aim = stand_view.aim_of(survey, found.framing, camera)
    wide = found.framing.print_width_m
    return frame_shown(found.spot, view, aim, print_width_m=wide, number=number)


def _ruler(found: StandFound, survey: Survey, stand: Stand, *, now: Camera) -> RulerShown:
    (low_m, high_m), step_m = stand_view.ruler_span_m(found)
    line = "" if abs(stand.y_m) < 0.005 else f", {place_title(0.0, stand.y_m).lower()}"
    return RulerShown(
        figure=stand_view.ruler_through(found, survey, stand, now=now),
        low_m=low_m,
        high_m=high_m,
        step_m=step_m,
        title=f"The gaps{line}",
    )


def _number(text: str, usual: float, what: str, unit: str) -> float:
    if not text.strip():
        return usual
    try:
        value = float(text.replace(",", ".").replace("−", "-"))
    except ValueError as why:
        raise BadInputError(f"The {what} {text[:30]!r} is no number of {unit}.") from why
    if not math.isfinite(value):
        raise BadInputError(f"The {what} {text[:30]!r} is no number of {unit}.")
    return value
