"""Surveying a wood from photographs: one with marks, or two taken a step apart."""

import logging
import time
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, MissingDataError, require_range
from shivelight.frames.depths import depths
from shivelight.frames.pairs import Pair, pair_up
from shivelight.frames.pinhole import Pinhole
from shivelight.frames.strips import Strip, found_again
from shivelight.intake.pixels import ByteImage, Upright, read_pixels
from shivelight.scene.from_pair import (
    Placed,
    local_points,
    step_doubt,
    step_sentence,
    trunk_from_pair,
)
from shivelight.scene.from_photos import MeasuredTrunk, trunk_on_photo
from shivelight.scene.photo_marks import PhotoView, TrunkMark
from shivelight.workbench.desk import Desk
from shivelight.workbench.survey_given import PhotoGiven, view_of

STEP_ERROR_M = 0.02
"""Standard error of a step measured with a tape (a judgement). [m]"""
CLOUD_DOUBT_FRAC = 0.25
"""Points more doubtful than this are left out of the cloud (a judgement)."""
HIGHEST_FRAC, LOWEST_FRAC = 0.35, 0.25
"""How far above and below its mark a trunk is looked at, in heights of the picture."""

_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoSurvey:
    """Trunks measured on one photograph.

    Attributes
    ----------
    trunks : tuple of MeasuredTrunk
        As many as could be.
    not_measured : tuple of (name, sentence)
        The others, and why.
    sentences : tuple of str
        What was assumed.
    """

    trunks: tuple[MeasuredTrunk, ...]
    not_measured: tuple[tuple[str, str], ...]
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CloudPoint:
    """A point seen on both photographs: where it is, and the error of its distance. [m]."""

    x_m: float
    y_m: float
    z_m: float
    error_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PairSurvey:
    """What two photographs taken a step apart tell.

    Attributes
    ----------
    trunks : tuple of MeasuredTrunk
        Marked trunks with their distances from the first camera.
    not_measured : tuple of (name, sentence)
        The others, and why.
    cloud : tuple of CloudPoint
        Other points, in the local frame of the first camera.
    second_place_m : (x, y, z)
        Where the second camera stood, z above the ground at the first. [m]
    matches : int
        Points that both photographs agree on.
    sentences : tuple of str
        What was assumed, and what is doubtful.
    """

    trunks: tuple[MeasuredTrunk, ...]
    not_measured: tuple[tuple[str, str], ...]
    cloud: tuple[CloudPoint, ...]
    second_place_m: tuple[float, float, float]
    matches: int
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Paired:
    """Two photographs brought together: as read, how taken, and how the cameras stood."""

    pictures: tuple[Upright, Upright]
    greys: tuple[ByteImage, ByteImage]
    views: tuple[PhotoView, PhotoView]
    pair: Pair
    sentences: tuple[str, ...]


class SurveyPhotosDesk(Desk):
    """Photographs, measured."""

    def marks_on_photo(
        self, photo: bytes, marks: Sequence[TrunkMark], *, given: PhotoGiven | None = None
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

        Raises
        ------
        UnreadableFileError, OutOfRangeError, MissingDataError, BadInputError
            If the photograph cannot be read or its perspective is not known. What is wrong with
            one trunk is said beside it and does not hold up the others.
        """
        view, sentences = view_of(read_pixels(photo, most=250_000), given or PhotoGiven())
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
        points = _placed(both, marks, step=(step_m, step_error_m))
        done: list[MeasuredTrunk] = []
        failed: list[tuple[str, str]] = []
        for mark in marks:
            found = _measured(mark, both.views[0], points)
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
            cloud=_cloud(points, both.views[0]),
            second_place_m=(float(place[0]), float(place[1]), float(place[2])),
            matches=len(both.pair.a_px),
            sentences=both.sentences,
        )


def brought_together(
    a: bytes, b: bytes, *, given: tuple[PhotoGiven, PhotoGiven] | None = None
) -> Paired:
    """Read two photographs and find how their cameras stood.

    Raises
    ------
    UnreadableFileError, OutOfRangeError, MissingDataError, BadInputError
        As :meth:`SurveyPhotosDesk.pair_of_photos`.
    """
    if a == b:
        raise BadInputError(
            "The two photos are the same file; give two that were taken a step apart."
        )
    pictures = (read_pixels(a), read_pixels(b))
    told = given or (PhotoGiven(), PhotoGiven())
    views, sentences = zip(
        *(view_of(one, its) for one, its in zip(pictures, told, strict=True)), strict=True
    )
    greys = (pictures[0].grey, pictures[1].grey)
    lenses = (_lens(views[0], greys[0]), _lens(views[1], greys[1]))
    doubt = max(one.focal_error_frac for one in views)
    pair = pair_up(greys[0], greys[1], lenses=lenses, focal_doubt_frac=doubt)
    said = list(dict.fromkeys(sentences[0]))
    if pair.is_flat:
        said.append(
            "Nearly all that both photos show lies on one flat surface, so the distances may be "
            "quite wrong; take them where near and far trunks are seen together."
        )
    return Paired(
        pictures=pictures,
        greys=greys,
        views=(views[0], views[1]),
        pair=pair,
        sentences=tuple(said),
    )


def _lens(view: PhotoView, grey: ByteImage) -> Pinhole:
    """Lens in pixels of the size worked at."""
    rows, columns = grey.shape
    return Pinhole(
        focal_px=view.camera.focal_in_widths * columns, width_px=columns, height_px=rows
    )


def _placed(both: Paired, marks: Sequence[TrunkMark], *, step: tuple[float, float]) -> Placed:
    """All matched points and patches of marked trunks, in metres."""
    pair = both.pair
    a_px, b_px = [pair.a_px], [pair.b_px]
    for mark in marks:
        more_a, more_b = found_again(*both.greys, pair, strip=_strip(mark, both))
        a_px.append(more_a)
        b_px.append(more_b)
    found = depths(pair.pose, np.concatenate(a_px), np.concatenate(b_px), lenses=pair.lenses)
    ahead = found.is_ahead
    return Placed(
        points_m=found.points[ahead] * step[0],
        noise_m=found.noise[ahead] * step[0],
        by_pose_m=found.by_pose[ahead] * step[0],
        covariance=pair.pose.covariance,
        step_m=step[0],
        step_error_m=step[1],
    )


def _strip(mark: TrunkMark, both: Paired) -> Strip:
    """Where a marked trunk is looked at, in pixels of the size worked at."""
    scale, rows = both.pictures[0].scale, both.greys[0].shape[0]
    row = (mark.row_px + 0.5) * scale - 0.5
    bottom = row + LOWEST_FRAC * rows
    if mark.foot_px is not None:
        bottom = min(bottom, (mark.foot_px[1] + 0.5) * scale - 0.5 - 0.02 * rows)
    left, right = sorted((mark.left_px, mark.right_px))
    return Strip(
        left_px=(left + 0.5) * scale - 0.5,
        right_px=(right + 0.5) * scale - 0.5,
        top_px=max(row - HIGHEST_FRAC * rows, 0.0),
        bottom_px=min(bottom, rows - 1.0),
    )


def _measured(mark: TrunkMark, view: PhotoView, points: Placed) -> MeasuredTrunk | str:
    """Give a trunk from two photographs, its other ways of measuring beside it, or why not."""
    found = trunk_from_pair(mark, view, points)
    if found is None:
        return (
            f"{mark.name}: too few points on it are seen on both photos; mark it where its bark "
            "shows, or give its width."
        )
    distance_m, error_m = found.trunk.distance_m, found.trunk.doubt.distance_m
    doubt = step_doubt(distance_m, error_m, step_m=points.step_m)
    if doubt.is_too_short:
        return step_sentence(mark.name, doubt, step_m=points.step_m)
    return found


def _cloud(points: Placed, view: PhotoView) -> tuple[CloudPoint, ...]:
    """All points that are sure enough, in the local frame."""
    error_m: FloatArray = points.error_m
    away = np.linalg.norm(points.points_m, axis=1)
    sure = error_m < CLOUD_DOUBT_FRAC * away
    local = local_points(points.points_m[sure], view)
    return tuple(
        CloudPoint(x_m=float(x), y_m=float(y), z_m=float(z), error_m=float(error))
        for (x, y, z), error in zip(local, error_m[sure], strict=True)
    )
