"""Two photographs brought together, and what is measured on them, as values."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.basis.errors import BadInputError, MissingDataError
from shivelight.frames.depths import depths
from shivelight.frames.pairs import Pair, pair_up
from shivelight.frames.pinhole import Pinhole
from shivelight.frames.strips import Strip, found_again
from shivelight.intake.pixels import ByteImage, Upright, read_pixels
from shivelight.scene.from_pair import (
    MOST_ALIKE,
    Placed,
    agreed,
    local_points,
    trunk_from_pair,
)
from shivelight.scene.from_photos import MeasuredTrunk, trunk_on_photo
from shivelight.scene.photo_marks import PhotoView, TrunkMark
from shivelight.scene.step_length import step_doubt, step_sentence
from shivelight.workbench.survey_given import PhotoGiven, view_of

CLOUD_DOUBT_FRAC = 0.25
"""Points more doubtful than this are left out of the cloud (a judgement)."""
LITTLE_PX = 8.0
"""When 9 in 10 points move by less than this, that is said (a judgement). [px]"""
HIGHEST_FRAC, LOWEST_FRAC = 0.35, 0.04
"""How far above its mark, and below where no foot is marked, in heights of the picture."""


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
    if pair.moved_px < LITTLE_PX:
        said.append(
            f"Little moves between the two photos ({pair.moved_px:.0f} px at the size measured "
            "at), so the distances hang on fractions of a pixel; a longer step tells more."
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


def placed_points(
    both: Paired, marks: Sequence[TrunkMark], *, step: tuple[float, float]
) -> Placed:
    """All matched points and patches of marked trunks, in metres."""
    pair = both.pair
    a_px, b_px = [pair.a_px], [pair.b_px]
    for mark in marks:
        strip = _strip(mark, both)
        if strip.count(pair.a_px) >= MOST_ALIKE:
            continue  # it has points enough of its own
        more_a, more_b = found_again(*both.greys, pair, strip=strip)
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
    picture, rows = both.pictures[0], both.greys[0].shape[0]
    row = picture.here(0.0, mark.row_px)[1]
    bottom = row + LOWEST_FRAC * rows
    if mark.foot_px is not None:
        bottom = picture.here(*mark.foot_px)[1] - 0.02 * rows
    left, right = sorted((mark.left_px, mark.right_px))
    return Strip(
        left_px=picture.here(left, 0.0)[0],
        right_px=picture.here(right, 0.0)[0],
        top_px=max(row - HIGHEST_FRAC * rows, 0.0),
        bottom_px=min(bottom, rows - 1.0),
    )


def measured(
    mark: TrunkMark, view: PhotoView, points: Placed, *, marks: Sequence[TrunkMark] = ()
) -> MeasuredTrunk | str:
    """Give a trunk from two photographs, its other ways of measuring beside it, or why not."""
    beside = [one for one in marks if one.name != mark.name]
    found = trunk_from_pair(mark, view, points, beside=beside)
    alone = _alone(mark, view)
    if found is None and alone is not None:
        return alone
    if found is None:
        return (
            f"{mark.name}: too few points on it are seen on both photos; mark it where its bark "
            "shows, or give its width."
        )
    distance_m, error_m = found.trunk.distance_m, found.trunk.doubt.distance_m
    doubt = step_doubt(distance_m, error_m, step_m=points.step_m)
    if doubt.is_too_short and alone is None:
        return step_sentence(mark.name, doubt, step_m=points.step_m)
    return found if alone is None else agreed(found, alone)


def _alone(mark: TrunkMark, view: PhotoView) -> MeasuredTrunk | None:
    """Measure a trunk on the first photo by itself, where its foot or width is known."""
    try:
        return trunk_on_photo(mark, view)
    except (BadInputError, MissingDataError):
        return None


def cloud_of(points: Placed, view: PhotoView) -> tuple[CloudPoint, ...]:
    """All points that are sure enough, in the local frame."""
    error_m: FloatArray = points.error_m
    away = np.linalg.norm(points.points_m, axis=1)
    sure = error_m < CLOUD_DOUBT_FRAC * away
    local = local_points(points.points_m[sure], view)
    return tuple(
        CloudPoint(x_m=float(x), y_m=float(y), z_m=float(z), error_m=float(error))
        for (x, y, z), error in zip(local, error_m[sure], strict=True)
    )
