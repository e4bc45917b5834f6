"""Surveying a wood from photographs: one with marks, or two taken a step apart."""

import logging
import time
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, MissingDataError, require_range
from shivelight.frames.mistfit import MistFit, airlight_of, fit_mist, tones_of
from shivelight.frames.pairs import TurnedOnlyError
from shivelight.intake.pixels import read_pixels
from shivelight.scene.elements import Trunk
from shivelight.scene.from_pair import NO_SCALE, local_points, scale_of, trunk_from_pair
from shivelight.scene.from_photos import MeasuredTrunk, trunk_on_photo
from shivelight.scene.offset import Offset, place_from_bearings
from shivelight.scene.photo_marks import TrunkMark, edges_of
from shivelight.workbench.desk import Desk
from shivelight.workbench.survey_given import PhotoGiven, view_of
from shivelight.workbench.survey_pairs import (
    PairSurvey,
    PhotoSurvey,
    brought_together,
    cloud_of,
    measured,
    placed_points,
)

STEP_ERROR_M = 0.02
"""Standard error of a step measured with a tape (a judgement). [m]"""

LEAST_ERROR_PX = 2.0
"""Standard error of a mark on the whole picture, however near it is drawn (a judgement). [px]"""

_log = logging.getLogger(__name__)


class SurveyPhotosDesk(Desk):
    """Photographs, measured."""

    def marks_on_photo(
        self,
        photo: bytes,
        marks: Sequence[TrunkMark],
        *,
        given: PhotoGiven | None = None,
        pixel_error_px: float = LEAST_ERROR_PX,
    ) -> PhotoSurvey:
        """Measure trunks marked on one photograph; nothing is kept.

        Parameters
        ----------
        photo : bytes
            The whole file.
        marks : sequence of TrunkMark
            In pixels of the upright picture.
        given : PhotoGiven, optional
            What the file does not tell.
        pixel_error_px : float
            Standard error of a mark; never taken for less than :data:`LEAST_ERROR_PX`. [px]

        Raises
        ------
        UnreadableFileError, OutOfRangeError, MissingDataError, BadInputError
            If the photograph cannot be read or its perspective is not known. What is wrong with
            one trunk is said beside it and does not hold up the others.
        """
        view, sentences = view_of(read_pixels(photo, most=250_000), given or PhotoGiven())
        view = replace(view, pixel_error_px=max(pixel_error_px, LEAST_ERROR_PX))
        done, failed = [], []
        for mark in marks:
            try:
                done.append(trunk_on_photo(mark, view))
            except (BadInputError, MissingDataError) as why:
                failed.append((mark.name, str(why)))
        return PhotoSurvey(trunks=tuple(done), not_measured=tuple(failed), sentences=sentences)

    def pair_of_photos(
        self,
        a: bytes,
        b: bytes,
        *,
        step_m: float,
        marks: Sequence[TrunkMark] = (),
        given: tuple[PhotoGiven, PhotoGiven] | None = None,
        step_error_m: float = STEP_ERROR_M,
    ) -> PairSurvey:
        """Measure distances from two photographs taken a step apart; nothing is kept.

        Parameters
        ----------
        a, b : bytes
            The whole files. Distances are from the camera of the first.
        step_m, step_error_m : float
            How far apart the two cameras stood, any way, and its standard error. [m]
        marks : sequence of TrunkMark
            Trunks on the first photograph, in pixels of the upright picture.
        given : (PhotoGiven, PhotoGiven), optional
            What the files do not tell.

        Raises
        ------
        UnreadableFileError, OutOfRangeError, MissingDataError, BadInputError
            If they cannot be read, or no distance can be told from them; the sentence says why.
        """
        require_range("step", step_m, 0.02, 50.0, "m", "Give how far apart you took the two.")
        require_range("error of the step", step_error_m, 0.0, step_m, "m")
        began = time.perf_counter()
        both = brought_together(a, b, given=given)
        points = placed_points(both, marks, step=(step_m, step_error_m))
        done: list[MeasuredTrunk] = []
        failed: list[tuple[str, str]] = []
        for mark in marks:
            found = measured(mark, both.views[0], points, marks=marks)
            if isinstance(found, MeasuredTrunk):
                done.append(found)
            else:
                failed.append((mark.name, found))
        if marks and not done and all("cannot tell" in why for _name, why in failed):
            raise BadInputError(failed[0][1])
        _log.info("two photographs measured in %.1f s", time.perf_counter() - began)
        right, down, forward = both.pair.pose.place * step_m
        place = local_points(np.array([[right, down, forward]]), both.views[0])[0]
        return PairSurvey(
            trunks=tuple(done),
            not_measured=tuple(failed),
            cloud=cloud_of(points, both.views[0]),
            second_place_m=(float(place[0]), float(place[1]), float(place[2])),
            matches=len(both.pair.a_px),
            sentences=both.sentences,
        )

    def mist_on_photo(
        self, photo: bytes, marks: Sequence[TrunkMark], *, trunks: Sequence[Trunk]
    ) -> MistFit:
        """Tell the optical range from how pale marked trunks are; nothing is kept.

        Parameters
        ----------
        photo : bytes
            The whole file.
        marks : sequence of TrunkMark
            Trunks that are seen whole at their marks, in pixels of the upright picture.
        trunks : sequence of Trunk
            The same, with their distances, by name.

        Raises
        ------
        UnreadableFileError, OutOfRangeError, MissingDataError, BadInputError
            If the photograph cannot be read, or no mist can be told from it.
        """
        picture = read_pixels(photo)
        known = {one.name: one for one in trunks}
        used = [one for one in marks if one.name in known]
        if not used:
            raise MissingDataError("None of the marked trunks has a distance; survey them first.")
        grey = picture.grey
        row_px = float(np.median([picture.here(0.0, one.row_px)[1] for one in used]))
        airlight = airlight_of(grey, row_px)
        tones, away, errors = [], [], []
        for mark in used:
            left, right = sorted((mark.left_px, mark.right_px))
            read = tones_of(
                grey,
                airlight,
                left_px=picture.here(left, 0.0)[0],
                right_px=picture.here(right, 0.0)[0],
                row_px=picture.here(0.0, mark.row_px)[1],
            )
            if read is not None:
                tones.append(read)
                away.append(known[mark.name].distance_m)
                errors.append(known[mark.name].doubt.distance_m)
        return fit_mist(tones, away, distance_errors_m=errors, airlight=airlight)

    def how_far_off(
        self,
        final: bytes,
        scouting: bytes,
        *,
        marks: Sequence[TrunkMark],
        trunks: Sequence[Trunk],
        wished_m: tuple[float, float, float] | None = None,
        given: tuple[PhotoGiven, PhotoGiven] | None = None,
    ) -> Offset:
        """Say how far from the wished place the final photo was taken; nothing is kept.

        Parameters
        ----------
        final, scouting : bytes
            The whole files.
        marks : sequence of TrunkMark
            Trunks on the scouting photo, in pixels of the upright picture.
        trunks : sequence of Trunk
            The same as surveyed from where the scouting photo was taken; they give the scale.
        wished_m : (x, y, z), optional
            Where the camera was meant to stand, in that survey's frame; where the scouting photo
            was taken, if not given. [m]
        given : (PhotoGiven, PhotoGiven), optional
            What the final and the scouting file do not tell.

        Raises
        ------
        UnreadableFileError, OutOfRangeError, MissingDataError, BadInputError
            If they cannot be read or compared, or no marked trunk gives the scale.
        """
        known = {one.name: one for one in trunks if one.distance_m > 0.0}
        swapped = None if given is None else (given[1], given[0])
        at_m = None if wished_m is None else np.array(wished_m)
        try:
            both = brought_together(scouting, final, given=swapped)
        except TurnedOnlyError as why:
            return self._next_to_it(why, scouting, known, wished_m=at_m, given=swapped)
        points = placed_points(both, marks, step=(1.0, 0.0))
        found = [
            trunk_from_pair(one, both.views[0], points, beside=[m for m in marks if m is not one])
            for one in marks
            if one.name in known
        ]
        told = [one.trunk for one in found if one is not None]
        scale, scale_error = scale_of(told, known)
        pose = both.pair.pose
        place = local_points(pose.place[None] * scale, both.views[0])[0]
        across = float(np.sqrt(max(np.linalg.eigvalsh(pose.covariance[3:5, 3:5]).max(), 0.0)))
        level = place - np.array([0.0, 0.0, both.views[0].camera.z_m])
        errors = np.hypot(np.abs(level) * scale_error / scale, scale * across)
        off = place - (at_m if at_m is not None else place - level)
        return _offset(off, errors)

    def how_far_off_by_elements(
        self,
        final: bytes,
        marks: Sequence[TrunkMark],
        *,
        trunks: Sequence[Trunk],
        wished_m: tuple[float, float] = (0.0, 0.0),
        given: PhotoGiven | None = None,
    ) -> Offset:
        """Say how far from the wished place the final photo was taken, from surveyed trunks.

        Parameters
        ----------
        final : bytes
            The whole file.
        marks : sequence of TrunkMark
            Three trunks or more on the final photo.
        trunks : sequence of Trunk
            The same as surveyed, by name.
        wished_m : (x, y)
            Where the camera was meant to stand, in the frame of the survey. [m]
        given : PhotoGiven, optional
            What the file does not tell.

        Raises
        ------
        UnreadableFileError, OutOfRangeError, MissingDataError, BadInputError
            If it cannot be read, or the trunks do not tell the place.
        """
        view, _sentences = view_of(read_pixels(final, most=250_000), given or PhotoGiven())
        known = {one.name: one for one in trunks}
        used = [one for one in marks if one.name in known]
        edge_deg = np.degrees(
            view.pixel_error_px / (view.camera.focal_in_widths * view.width_px)
        ) / np.sqrt(2.0)
        x_m, y_m, covariance = place_from_bearings(
            [known[one.name] for one in used],
            [edges_of(one, view)[0] for one in used],
            errors_deg=[float(edge_deg)] * len(used),
        )
        off = np.array([x_m - wished_m[0], y_m - wished_m[1], 0.0])
        return _offset(off, np.append(np.sqrt(np.diag(covariance)), np.nan))

    def _next_to_it(
        self,
        why: TurnedOnlyError,
        scouting: bytes,
        known: dict[str, Trunk],
        *,
        wished_m: FloatArray | None,
        given: tuple[PhotoGiven, PhotoGiven] | None,
    ) -> Offset:
        """Say that nothing moved: the place is the scouting photo's, to what would have shown."""
        if not known:
            raise MissingDataError(NO_SCALE) from why
        picture = read_pixels(scouting)
        view, _sentences = view_of(picture, PhotoGiven() if given is None else given[0])
        nearest_m = min(one.distance_m for one in known.values())
        focal_px = view.camera.focal_in_widths * picture.rgb.shape[1]
        unseen_m = why.unseen_px * nearest_m / focal_px
        place = np.array([0.0, 0.0, view.camera.z_m])
        off = place - (wished_m if wished_m is not None else place)
        # Forward shows less than sideways: points move by how far they are off the axis.
        return _offset(off, np.array([unseen_m, 3.0 * unseen_m, unseen_m]))


def _offset(off: FloatArray, errors: FloatArray) -> Offset:
    return Offset(
        right_m=float(off[0]),
        forward_m=float(off[1]),
        up_m=float(off[2]),
        right_error_m=float(errors[0]),
        forward_error_m=float(errors[1]),
        up_error_m=float(errors[2]),
    )
