"""What a place that is already chosen gives, without a search."""

from dataclasses import replace

from shivelight.scene.camera import Camera
from shivelight.scene.elements import Survey
from shivelight.scene.framing import Framing, Reach
from shivelight.scene.pairing import parting_pairs
from shivelight.scene.search import wish_of, wood_of
from shivelight.scene.spread import SEED, TRIES
from shivelight.scene.stand_faults import Asked
from shivelight.scene.stand_report import stand_at, watched, with_spread
from shivelight.scene.stands import Stand


def known_stand(
    survey: Survey, framing: Framing, reach: Reach, *, now: Camera, camera: Camera
) -> Stand:
    """Describe the view of a camera: its gaps, drift, spread, and the gaps to watch.

    Parameters
    ----------
    survey : Survey
        What stands there, with its doubts.
    framing : Framing
        What is wished.
    reach : Reach
        How far one goes; decides only in which ways the spread is looked for.
    now : Camera
        The camera on the mark.
    camera : Camera
        The camera on the stand.

    Returns
    -------
    Stand
        ``watch`` holds the gaps that close first, whether or not to finish by eye.

    Raises
    ------
    NotFoundError
        If a name that is wished of is not in the survey.
    """
    asked = Asked(
        survey=survey,
        framing=framing,
        reach=reach,
        now=now,
        wood=wood_of(survey),
        wish=wish_of(survey, framing, reach, now=now),
        pairs=parting_pairs(survey, framing, now),
    )
    stand = with_spread(stand_at(asked, camera), asked, tries=TRIES, seed=SEED)
    return replace(stand, watch=watched(stand, asked))
