"""Drawings of stand points: gap ruler, plan, predicted frame, layer stair, find-it-again strip."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from shivelight.scene.camera import Camera
from shivelight.scene.framing import Framing
from shivelight.workbench.mark import MarkDesk
from shivelight.workbench.stand import StandDesk, layers_of
from shivelight.workbench.survey import require_surveyed

if TYPE_CHECKING:
    from shivelight.drawing.figure import Figure
    from shivelight.drawing.find_again import MarkSetting
    from shivelight.drawing.gap_ruler_words import GapRuler
    from shivelight.drawing.layer_stair import Layer
    from shivelight.drawing.stand_plan import PlanStand
    from shivelight.scene.stands import Stand
    from shivelight.workbench.stand_found import StandFound

LONGEST_DRIFT_M = 2.0
"""A way in which nothing touches is drawn no longer than this. [m]"""


class StandPictureDesk(StandDesk, MarkDesk):
    """Stand points as drawings."""

    def ruler(
        self,
        spot: str,
        framing: Framing | None = None,
        *,
        along: str = "x",
        span_m: tuple[float, float] = (-0.8, 1.1),
    ) -> "GapRuler":
        """Every pair's gap along a line through the mark.

        Parameters
        ----------
        spot : str
            Which spot.
        framing : Framing, optional
            What is wished; as kept when not given.
        along : {"x", "y", "z"}
            Sideways, forward or up.
        span_m : (float, float)
            From where to where. [m]
        """
        from shivelight.drawing.gap_ruler_course import ruler_of  # noqa: PLC0415  draws alone
        from shivelight.scene.gaps import gap_course  # noqa: PLC0415  loads Numba

        wished = framing or self.framing_of(spot).framing
        survey = require_surveyed(self.kept_survey(spot))
        course = gap_course(survey, wished, along=along, span_m=span_m, now=self.camera_at(spot))
        return ruler_of(course, survey, least_gap_deg=wished.least_gap_deg, along=along)

    def ruler_picture(self, spot: str, framing: Framing | None = None) -> "Figure":
        """Draw the gap ruler of a spot for a page."""
        from shivelight.drawing.gap_ruler import gap_ruler_figure  # noqa: PLC0415

        return gap_ruler_figure(self.ruler(spot, framing))

    def ruler_drawing(self, spot: str, *, style: str = "paper") -> str:
        """Draw the gap ruler of a spot as one SVG."""
        from shivelight.drawing.gap_ruler import gap_ruler_svg  # noqa: PLC0415

        return gap_ruler_svg(self.ruler(spot), style=style)

    def plan_picture(self, found: "StandFound") -> "Figure":
        """Draw the plan of the ground with the stands that were found, for a page."""
        from shivelight.drawing.stand_plan import stand_plan_figure  # noqa: PLC0415

        survey = self.kept_survey(found.spot).survey
        return stand_plan_figure(survey, found.reach, _plan_stands(found))

    def plan_drawing(self, found: "StandFound", *, style: str = "paper") -> str:
        """Draw the plan of the ground with the stands that were found, as one SVG."""
        from shivelight.drawing.stand_plan import stand_plan_svg  # noqa: PLC0415

        survey = self.kept_survey(found.spot).survey
        return stand_plan_svg(survey, found.reach, _plan_stands(found), style=style)

    def frame_picture(
        self, spot: str, camera: Camera, *, mist_range_m: float | None = None, style: str = "paper"
    ) -> str:
        """Draw the frame that a camera at a spot will take in, as SVG."""
        from shivelight.drawing.predicted_frame import predicted_frame_svg  # noqa: PLC0415
        from shivelight.scene.gaps import gaps_at  # noqa: PLC0415  loads Numba

        survey = require_surveyed(self.kept_survey(spot))
        place = (camera.x_m, camera.y_m, camera.z_m)
        gaps = [(one.left, one.right, one.gap_deg) for one in gaps_at(survey, place)]
        return predicted_frame_svg(
            survey, camera, gaps=gaps, mist_range_m=mist_range_m, style=style
        )

    def frame_png(self, spot: str, camera: Camera, *, mist_range_m: float | None = None) -> bytes:
        """Make the frame that a camera at a spot will take in, as a grey PNG."""
        from shivelight.drawing.predicted_frame import predicted_frame_png  # noqa: PLC0415

        survey = require_surveyed(self.kept_survey(spot))
        return predicted_frame_png(survey, camera, mist_range_m=mist_range_m)

    def stair_picture(self, spot: str, ranges_m: Sequence[float]) -> "Figure":
        """Draw the layer stair of a spot for one optical range to three, for a page."""
        from shivelight.drawing.layer_stair import layer_stair_figure  # noqa: PLC0415

        return layer_stair_figure(self._stair_layers(spot), ranges_m)

    def stair_drawing(self, spot: str, ranges_m: Sequence[float], *, style: str = "paper") -> str:
        """Draw the layer stair of a spot for one optical range to three, as one SVG."""
        from shivelight.drawing.layer_stair import layer_stair_svg  # noqa: PLC0415

        return layer_stair_svg(self._stair_layers(spot), ranges_m, style=style)

    def mark_figure(self, spot: str) -> "Figure":
        """Draw the find-it-again strip of a spot, for a page."""
        from shivelight.drawing.find_again import find_again_figure  # noqa: PLC0415

        survey = self.kept_survey(spot).survey
        return find_again_figure(self.mark(spot).anchors, self._setting(spot), survey=survey)

    def mark_picture(self, spot: str, *, style: str = "paper") -> str:
        """Draw the find-it-again strip of a spot, as one SVG."""
        from shivelight.drawing.find_again import find_again_svg  # noqa: PLC0415

        survey = self.kept_survey(spot).survey
        anchors = self.mark(spot).anchors
        return find_again_svg(anchors, self._setting(spot), survey=survey, style=style)

    def _setting(self, spot: str) -> "MarkSetting":
        from shivelight.drawing.find_again import MarkSetting  # noqa: PLC0415

        known = self.spot(spot)
        return MarkSetting(
            lens_height_m=known.lens_height_m,
            bearing_deg=known.view_azimuth_deg,
            focal_length_mm=known.focal_length_mm,
            confirmed_on=known.mark.last_confirmed,
            warnings=self.mark(spot).notes,
        )

    def _stair_layers(self, spot: str) -> "list[Layer]":
        from shivelight.drawing.layer_stair import Layer  # noqa: PLC0415

        survey = require_surveyed(self.kept_survey(spot))
        names, distances = layers_of(survey, self.camera_at(spot))
        return [
            Layer(name=name, distance_m=away) for name, away in zip(names, distances, strict=True)
        ]


def _plan_stands(found: "StandFound") -> "list[PlanStand]":
    from shivelight.drawing.stand_plan import PlanStand  # noqa: PLC0415

    answer = found.answer
    stands = answer.answers or ((answer.compromise,) if answer.compromise else ())
    return [
        PlanStand(number=number, x_m=one.x_m, y_m=one.y_m, drift_m=_drift(one))
        for number, one in enumerate(stands, start=1)
    ]


def _drift(one: "Stand") -> tuple[float, float, float, float] | None:
    if one.touch is None or one.smallest_gap_deg <= 0.0:
        return None
    left, right, back, forward = (
        min(one.touch.way_m(way), LONGEST_DRIFT_M) for way in ("left", "right", "back", "forward")
    )
    return left, right, back, forward
