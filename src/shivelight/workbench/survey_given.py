"""What a person tells beside a photograph, and what comes of it: how the picture was taken."""

from dataclasses import dataclass

from shivelight.basis.errors import BadInputError, MissingDataError, require_range
from shivelight.intake.pixels import Upright
from shivelight.outing.pictures import PhotoFacts
from shivelight.scene.camera import Camera
from shivelight.scene.elements import Slope
from shivelight.scene.photo_marks import FLAT, PhotoView

LENS_HEIGHT_M = 1.5
"""Of a camera held to the eye, when nothing else is said (a judgement). [m]"""
COMPOSITE_SHAPE = 1.9
"""A picture that the camera made of several and wider than this is a panorama (a judgement)."""
SENSOR_BY_EQUIVALENT = 0.02
"""Standard error of a focal length known by its whole-millimetre equivalent, as a share."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoGiven:
    """What a person tells of one photograph; None is left to the file, or to common practice.

    Attributes
    ----------
    focal_length_mm : float or None
        As engraved. [mm]
    sensor_width_mm : float or None
        Long side of the sensor. [mm]
    lens_height_m : float
        Above the ground. [m]
    pitch_deg, roll_deg : float or None
        Tilt up, and clockwise from behind. [°]
    slope : Slope
        The ground.
    """

    focal_length_mm: float | None = None
    sensor_width_mm: float | None = None
    lens_height_m: float = LENS_HEIGHT_M
    pitch_deg: float | None = None
    roll_deg: float | None = None
    slope: Slope = FLAT

    def __post_init__(self) -> None:
        require_range("height of the lens", self.lens_height_m, 0.02, 30.0, "m")


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoSize:
    """How large the whole picture is, and what its sides are on the sensor."""

    width_px: int
    height_px: int
    width_mm: float
    height_mm: float
    focal_length_mm: float
    focal_error_frac: float


def view_of(picture: Upright, given: PhotoGiven) -> tuple[PhotoView, tuple[str, ...]]:
    """Work out how a picture was taken, and say what was assumed.

    Raises
    ------
    MissingDataError
        If neither the file nor the person tells the focal length and the sensor.
    BadInputError
        If it is a panorama.
    """
    facts = picture.facts
    _require_one_frame(picture)
    size = lens_of(facts, given)
    sentences = []
    pitch_error_deg, roll_error_deg = 1.0, 1.0
    pitch_deg = given.pitch_deg
    if pitch_deg is None:
        pitch_deg, pitch_error_deg = picture.elevation_deg, 0.5
    if pitch_deg is None:
        pitch_deg, pitch_error_deg = 0.0, 3.0
        sentences.append(
            "The tilt of the camera is not known and was taken for level, give or take 3°; give "
            "it, or mark the level horizon."
        )
    if given.roll_deg is None:
        roll_error_deg = 1.5
    camera = Camera(
        z_m=given.lens_height_m,
        pitch_deg=pitch_deg,
        roll_deg=given.roll_deg or 0.0,
        focal_length_mm=size.focal_length_mm,
        sensor_width_mm=size.width_mm,
        sensor_height_mm=size.height_mm,
    )
    view = PhotoView(
        camera=camera,
        width_px=size.width_px,
        height_px=size.height_px,
        slope=given.slope,
        pitch_error_deg=pitch_error_deg,
        roll_error_deg=roll_error_deg,
        focal_error_frac=size.focal_error_frac,
    )
    return view, tuple(sentences)


def lens_of(facts: PhotoFacts, given: PhotoGiven) -> PhotoSize:
    """Focal length and the sides of the frame as it was held.

    Raises
    ------
    MissingDataError
        If they are not known.
    """
    focal_mm, long_mm, error = facts.focal_length_mm, facts.sensor_width_mm, 0.01
    if facts.equivalent_focal_length_mm is not None:
        error = SENSOR_BY_EQUIVALENT
        if focal_mm is None or long_mm is None:  # as on 35 mm film then
            focal_mm, long_mm = facts.equivalent_focal_length_mm, 36.0
    if given.sensor_width_mm is not None:
        long_mm, error = given.sensor_width_mm, 0.01
    if given.focal_length_mm is not None:
        focal_mm = given.focal_length_mm
    if focal_mm is None:
        raise MissingDataError(
            "The photo does not tell its focal length; give the focal length and the width of "
            "the sensor (or the equivalent focal length and 36 mm)."
        )
    if long_mm is None:
        raise MissingDataError(
            f"The photo tells its focal length, {focal_mm:g} mm, but not the size of its sensor; "
            "give the width of the sensor."
        )
    require_range("focal length", focal_mm, 1.0, 2000.0, "mm")
    require_range("width of the sensor", long_mm, 1.0, 200.0, "mm")
    long_px = max(facts.width_px, facts.height_px)
    return PhotoSize(
        width_px=facts.width_px,
        height_px=facts.height_px,
        width_mm=long_mm * facts.width_px / long_px,
        height_mm=long_mm * facts.height_px / long_px,
        focal_length_mm=focal_mm,
        focal_error_frac=error,
    )


def _require_one_frame(picture: Upright) -> None:
    """Refuse pictures joined from several."""
    sides = picture.facts.width_px, picture.facts.height_px
    if picture.is_composite and max(sides) / min(sides) > COMPOSITE_SHAPE:
        raise BadInputError(
            f"The camera made this picture of several and it is {sides[0]} by {sides[1]} px, as "
            "panoramas are; their perspective is not that of one lens. Give a single frame."
        )
