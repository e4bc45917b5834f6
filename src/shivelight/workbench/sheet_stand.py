"""Where to put the tripod, for the sheet: the stand that was kept, or a search that is quick."""

from typing import TYPE_CHECKING

from shivelight.basis.errors import BadInputError, NotFoundError, OutOfRangeError
from shivelight.basis.instants import day_words, to_local
from shivelight.outing.sheet_stand import SheetStand
from shivelight.scene.camera import Camera
from shivelight.scene.elements import Survey
from shivelight.scene.framing import Framing, Reach
from shivelight.workbench.stand import StandDesk, camera_of

if TYPE_CHECKING:
    from shivelight.scene.stands import Stand

MOST_PLACES = 400
"""More places than this are not searched while a sheet is made. A judgement."""
GONE = "The stand that was kept no longer fits the survey; look for it again."


def sheet_stand(desk: StandDesk, spot: str) -> SheetStand | None:
    """Say where to put the tripod at a spot.

    Parameters
    ----------
    desk : StandDesk
        With the book open.
    spot : str
        Which spot.

    Returns
    -------
    SheetStand or None
        The stand that was kept last, seen through the survey as it is now; else the best of a
        search, where that is quick; None where neither gives one.
    """
    survey = desk.kept_survey(spot).survey
    kept = desk.stand(spot).stands
    if len(survey.trunks) < 2:
        return None
    now = desk.camera_at(spot)
    if not kept:
        found = _searched(desk, spot, survey)
        said = "Worked out for this sheet; no stand was taken."
        return None if found is None else _shown(desk, spot, survey, camera=found, said=said)
    last = kept[-1]
    taken = to_local(last.kept_utc, desk.zone_of(desk.wood_of(desk.spot(spot)))).date()
    said = f"Taken on {day_words(taken)}."
    try:
        return _shown(desk, spot, survey, camera=camera_of(last, now), said=said)
    except (BadInputError, NotFoundError, OutOfRangeError):
        return SheetStand(spot=spot, line=GONE)


def _searched(desk: StandDesk, spot: str, survey: Survey) -> Camera | None:
    """Search for a stand where that is quick; a wish that fits no longer finds none."""
    from shivelight.scene.search import places_of  # noqa: PLC0415  loads Numba

    kept, now = desk.framing_of(spot), desk.camera_at(spot)
    try:
        places, _ = places_of(kept.reach, now, survey)
        if len(places) > MOST_PLACES:
            return None
        answers = desk.find_stand(spot).answer.answers
    except (BadInputError, NotFoundError, OutOfRangeError):
        return None
    return answers[0].camera if answers else None


def _shown(desk: StandDesk, spot: str, survey: Survey, *, camera: Camera, said: str) -> SheetStand:
    from shivelight.outing.stand_words import aim_words, drift_words, stand_line  # noqa: PLC0415
    from shivelight.scene.gaps import gaps_at  # noqa: PLC0415  loads Numba
    from shivelight.scene.raycast import require_outside  # noqa: PLC0415  as above

    require_outside(survey, camera)
    wished = desk.framing_of(spot)
    stand = _seen(survey, wished.framing, wished.reach, now=desk.camera_at(spot), camera=camera)
    aim = aim_words(stand)
    more = (drift_words(stand), _watch_words(stand), f"{aim[0].upper()}{aim[1:]}.", said)
    place = (camera.x_m, camera.y_m, camera.z_m)
    return SheetStand(
        spot=spot,
        line=stand_line(stand, wished.framing),
        more=tuple(line for line in more if line),
        survey=survey,
        camera=camera,
        gaps=tuple((one.left, one.right, one.gap_deg) for one in gaps_at(survey, place)),
    )


def _seen(
    survey: Survey, framing: Framing, reach: Reach, *, now: Camera, camera: Camera
) -> "Stand":
    from shivelight.scene.stand_known import known_stand  # noqa: PLC0415  loads Numba

    return known_stand(survey, framing, reach, now=now, camera=camera)


def _watch_words(stand: "Stand") -> str:
    """Name the gaps that close first."""
    if not stand.watch:
        return ""
    watched = "; ".join(" and ".join(pair) for pair in stand.watch)
    return f"{'Finish by eye. ' if stand.finish_by_eye else ''}Watch: {watched}."
