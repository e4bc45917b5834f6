"""Where to put the tripod at a spot, and how its layers part in mist.

Data flow: the survey and what is wished come from the book, ``scene`` searches, and a
stand that is taken is kept with its words.
"""

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from shivelight.basis.errors import BadInputError, NotFoundError, require_range
from shivelight.outing.spots import Spot
from shivelight.outing.surveys import KeptFraming, KeptStand
from shivelight.scene.camera import Camera, angle_of_view_deg
from shivelight.scene.elements import Role, Survey
from shivelight.scene.framing import Framing, Reach, name_in
from shivelight.scene.layers import (
    best_range_m,
    distinct_layers_m,
    tone_steps,
    tones,
    wish_words,
)
from shivelight.store import surveys as survey_rows
from shivelight.workbench.survey import SurveyDesk, require_surveyed

if TYPE_CHECKING:
    from shivelight.workbench.stand_found import StandFound

TRIES = 300
UPRIGHT_TO_WIDTH = 2.0 / 3.0
"""Height of a frame to its width where no body of the kit has a sensor of that width: 3 to 2."""
LAYERS_APART_FRAC = 0.2


@dataclass(frozen=True, slots=True, kw_only=True)
class StandPage:
    """What is wished of a spot's picture, and the stands that were taken."""

    spot: str
    framing: Framing
    reach: Reach
    stands: tuple[KeptStand, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LayersFound:
    """How the layers of a spot part in mist. Rough: dark trunks, even light and mist.

    Attributes
    ----------
    spot : str
        Which.
    names : tuple of str
        The layers, near to far; trunks nearly as far are one.
    distances_m : tuple of float
        How far they are. [m]
    optical_range_m : float
        As paced. [m]
    tone_frac, step_ev : tuple of float
        Tone of each against the mist, and the step to the next one behind, in stops.
    low_m, best_m, high_m : float
        The optical ranges in which the smallest step is largest. [m]
    wish : str
        The same as a wish of the spot.
    wished : bool
        Whether it was made a wish now.
    """

    spot: str
    names: tuple[str, ...]
    distances_m: tuple[float, ...]
    optical_range_m: float
    tone_frac: tuple[float, ...]
    step_ev: tuple[float, ...]
    low_m: float
    best_m: float
    high_m: float
    wish: str
    wished: bool = False


class StandDesk(SurveyDesk):
    """Stand points."""

    def stand(self, spot: str) -> StandPage:
        """Give what is wished of a spot's picture, and the stands that were taken."""
        known = self.spot(spot)
        kept = self.framing_of(known.name)
        return StandPage(
            spot=known.name,
            framing=kept.framing,
            reach=kept.reach,
            stands=survey_rows.stands_of(self.book, known.name),
        )

    def framing_of(self, spot: str) -> KeptFraming:
        """Give what is wished of a spot's picture; the usual where nothing was said."""
        name = self.spot(spot).name
        return survey_rows.get_framing(self.book, name) or KeptFraming(spot=name)

    def wish_framing(self, spot: str, framing: Framing, reach: Reach) -> StandPage:
        """Keep what is wished of a spot's picture, and how far one will go for it.

        Raises
        ------
        NotFoundError
            If a name is not in the survey.
        """
        known = self.spot(spot)
        _require_names(self.kept_survey(known.name).survey, framing)
        survey_rows.put_framing(
            self.book, KeptFraming(spot=known.name, framing=framing, reach=reach)
        )
        return self.stand(known.name)

    def camera_at(self, spot: str) -> Camera:
        """Give the camera as it stands on a spot's mark."""
        return self._camera(self.spot(spot))

    def find_stand(
        self,
        spot: str,
        framing: Framing | None = None,
        reach: Reach | None = None,
        *,
        take: int = 0,
    ) -> "StandFound":
        """Find where to stand.

        Parameters
        ----------
        spot : str
            Which spot.
        framing, reach : Framing, Reach, optional
            What is wished and how far one will go; as kept, else the usual.
        take : int
            Number of the answer to keep, from 1; 0 for none.

        Raises
        ------
        BadInputError
            If fewer than two trunks are surveyed.
        NotFoundError
            If a name is not in the survey, or there is no answer of that number.
        """
        from shivelight.scene.standpoint import find_standpoints  # noqa: PLC0415  loads Numba
        from shivelight.workbench.stand_found import StandFound  # noqa: PLC0415

        known = self.spot(spot)
        kept = self.framing_of(known.name)
        framing, reach = framing or kept.framing, reach or kept.reach
        survey = require_surveyed(self.kept_survey(known.name))
        _require_names(survey, framing)
        answer = find_standpoints(survey, framing, reach, now=self._camera(known), tries=TRIES)
        found = StandFound(spot=known.name, framing=framing, reach=reach, answer=answer)
        return replace(found, taken=self._take(found, take)) if take else found

    def layers(self, spot: str, optical_range_m: float, *, wish: bool = False) -> LayersFound:
        """Say how the layers of a spot part at a paced optical range, and what mist parts them.

        Parameters
        ----------
        spot : str
            Which spot.
        optical_range_m : float
            Paced to the last trunk that can just be made out. [m]
        wish : bool
            Whether to make the best window a must of the spot.

        Raises
        ------
        BadInputError
            If there are fewer than two layers.
        OutOfRangeError
            If the range is under 5 m, or no range at all.
        """
        require_range("optical range", optical_range_m, 5.0, 100_000.0, "m")
        known = self.spot(spot)
        survey = require_surveyed(self.kept_survey(known.name))
        names, distances = layers_of(survey, self._camera(known))
        low_m, best_m, high_m = best_range_m(distances)
        words = wish_words(distances)
        if wish:
            self.wish(known.name, words, must=True)
        return LayersFound(
            spot=known.name,
            names=names,
            distances_m=distances,
            optical_range_m=optical_range_m,
            tone_frac=tuple(float(one) for one in tones(distances, optical_range_m)),
            step_ev=tuple(float(one) for one in tone_steps(distances, optical_range_m)),
            low_m=low_m,
            best_m=best_m,
            high_m=high_m,
            wish=words,
            wished=wish,
        )

    def _camera(self, spot: Spot) -> Camera:
        return Camera(
            z_m=spot.lens_height_m,
            focal_length_mm=spot.focal_length_mm,
            sensor_width_mm=spot.sensor_width_mm,
            sensor_height_mm=self._sensor_height_mm(spot.sensor_width_mm),
        )

    def _sensor_height_mm(self, width_mm: float) -> float:
        """Upright side of the frame: from the body whose sensor it is, else as 3 to 2."""
        for body in self.kit().bodies:
            if abs(body.sensor_width_mm - width_mm) < 0.05:
                return body.sensor_height_mm
            if abs(body.sensor_height_mm - width_mm) < 0.05:
                return body.sensor_width_mm
        return width_mm * UPRIGHT_TO_WIDTH

    def _take(self, found: "StandFound", number: int) -> KeptStand:
        from shivelight.outing.stand_words import stand_line  # noqa: PLC0415  loads Numba

        answers = found.answer.answers
        if not 1 <= number <= len(answers):
            raise NotFoundError(
                f"There is no stand of number {number}; {len(answers)} were found."
            )
        one = answers[number - 1]
        kept = KeptStand(
            spot=found.spot,
            kept_utc=self.now_utc,
            x_m=one.x_m,
            y_m=one.y_m,
            z_m=one.z_m,
            focal_length_mm=one.focal_length_mm,
            yaw_deg=one.yaw_deg,
            pitch_deg=one.pitch_deg,
            smallest_gap_deg=one.smallest_gap_deg if one.pair else None,
            pair_left=one.pair[0] if one.pair else "",
            pair_right=one.pair[1] if one.pair else "",
            words=stand_line(one, found.framing),
        )
        survey_rows.add_stand(self.book, kept)
        return kept


def camera_of(kept: KeptStand, now: Camera) -> Camera:
    """Give the camera of a stand that was taken, with the sensor that it has now."""
    return replace(
        now,
        x_m=kept.x_m,
        y_m=kept.y_m,
        z_m=kept.z_m,
        focal_length_mm=kept.focal_length_mm,
        yaw_deg=kept.yaw_deg,
        pitch_deg=kept.pitch_deg,
    )


def layers_of(survey: Survey, now: Camera) -> tuple[tuple[str, ...], tuple[float, ...]]:
    """Layers that a camera takes in, with the names of their trunks, near to far.

    Parameters
    ----------
    survey : Survey
        What stands there; intruders are left out.
    now : Camera
        The camera on the mark.

    Raises
    ------
    BadInputError
        If there are fewer than two.
    """
    half_deg = float(angle_of_view_deg(now.focal_length_mm, now.sensor_width_mm)) / 2.0
    trunks = sorted(
        (
            one
            for one in survey.trunks
            if one.role is not Role.INTRUDER and abs(one.angle_deg - now.yaw_deg) <= half_deg
        ),
        key=lambda one: one.distance_m,
    )
    distances = distinct_layers_m([one.distance_m for one in trunks], apart_frac=LAYERS_APART_FRAC)
    if len(distances) < 2:
        raise BadInputError(
            f"The frame holds {len(distances)} layer; two trunks at different distances are "
            "wanted."
        )
    names: list[list[str]] = [[] for _ in distances]
    for one in trunks:
        nearest = min(range(len(distances)), key=lambda row: abs(distances[row] - one.distance_m))
        names[nearest].append(one.name)
    return tuple(" and ".join(row) for row in names), distances


def _require_names(survey: Survey, framing: Framing) -> None:
    pairs = (*framing.parts, *framing.keeps)
    for name in (*(one for pair in pairs for one in pair), *framing.whole):
        name_in(survey, name)
