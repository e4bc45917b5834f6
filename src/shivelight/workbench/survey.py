"""What stands before the lens at a spot: typed in the field, changed, imported and exported.

Data flow: words and tables are read by ``intake`` with the photographer's own pace and hand, the
survey is put together and checked in ``outing`` and ``scene``, and kept whole by ``store``.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from shivelight.basis.errors import BadInputError, NotFoundError
from shivelight.intake.elements import element_from
from shivelight.intake.elements_table import read_elements, row_of, write_elements
from shivelight.intake.measures import Hands, read_rise
from shivelight.intake.sights import USUAL_HAND
from shivelight.outing.spots import Spot
from shivelight.outing.surveys import (
    Element,
    KeptSurvey,
    element_of,
    with_element,
    without_element,
)
from shivelight.scene.elements import Slope, Survey
from shivelight.store import surveys as survey_rows
from shivelight.workbench.woods import WoodDesk


@dataclass(frozen=True, slots=True, kw_only=True)
class SurveyPage:
    """The survey of a spot as a shell shows it.

    Attributes
    ----------
    spot : str
        Whose.
    survey : Survey
        The elements.
    how : dict of str to str
        How each was measured, by name.
    notes : tuple of str
        What is to be known about what was just done.
    """

    spot: str
    survey: Survey
    how: dict[str, str]
    notes: tuple[str, ...] = ()


class SurveyDesk(WoodDesk):
    """The elements of spots."""

    def survey(self, spot: str) -> SurveyPage:
        """Give what was surveyed at a spot; nothing yet is an empty survey."""
        return _page(self.kept_survey(spot))

    def kept_survey(self, spot: str) -> KeptSurvey:
        """Give what was surveyed at a spot, as it is kept."""
        kept = survey_rows.get(self.book, spot)
        return kept or KeptSurvey(spot=self.spot(spot).name)

    def hands_at(self, spot: Spot) -> Hands:
        """Give what the photographer measures with, facing along a spot's bearing of view."""
        hand = USUAL_HAND.scaled("finger", self.settings.finger_deg)
        return Hands(
            pace_m=self.settings.pace_m, hand=hand, view_azimuth_deg=spot.view_azimuth_deg
        )

    def add_element(self, spot: str, said: Mapping[str, str]) -> SurveyPage:
        """Add a trunk, branch, log, sky hole, closed ground or ring.

        Parameters
        ----------
        spot : str
            Which spot.
        said : mapping of str to str
            What was typed, by the names of ``intake.elements.KEYS``.

        Raises
        ------
        NotFoundError
            If the book has no such spot.
        BadInputError
            If something is missing, not read, or contradicts what is there; nothing is changed.
        """
        known, kept = self.spot(spot), self.kept_survey(spot)
        made, how = element_from(said, hands=self.hands_at(known), trunks=kept.survey.trunks)
        survey = with_element(kept.survey, made)
        return self._keep_elements(replace(kept, survey=survey, how=_how(kept, {made.name: how})))

    def change_element(self, spot: str, name: str, said: Mapping[str, str]) -> SurveyPage:
        """Change what is typed about an element and leave the rest.

        Raises
        ------
        NotFoundError, BadInputError
            As :meth:`add_element`; the old one then stays.
        """
        known, kept = self.spot(spot), self.kept_survey(spot)
        old = element_of(kept.survey, name)
        typed = {key: words for key, words in said.items() if words}
        row = {key: words for key, words in row_of(old).items() if not _is_stale(key, typed)}
        how = {"how": kept.how.get(old.name, "")} if kept.how.get(old.name) else {}
        if how and "how" not in typed:
            changed = ", ".join(f"{key} {words}" for key, words in typed.items() if key != "name")
            how = {"how": f"{how['how']}; then {changed}" if changed else how["how"]}
        made, told = element_from(
            {**row, **how, **typed}, hands=self.hands_at(known), trunks=kept.survey.trunks
        )
        survey = with_element(kept.survey, made, instead_of=old.name)
        rest = {one: words for one, words in kept.how.items() if one != old.name}
        return self._keep_elements(
            KeptSurvey(spot=kept.spot, survey=survey, how={**rest, made.name: told})
        )

    def drop_element(self, spot: str, name: str) -> SurveyPage:
        """Take an element out of the survey.

        Raises
        ------
        NotFoundError
            If there is none of that name.
        """
        kept = self.kept_survey(spot)
        gone = element_of(kept.survey, name)
        how = {one: words for one, words in kept.how.items() if one != gone.name}
        survey = without_element(kept.survey, name)
        return self._keep_elements(KeptSurvey(spot=kept.spot, survey=survey, how=how))

    def slope_ground(self, spot: str, *, right: str = "", forward: str = "") -> SurveyPage:
        """Say how the ground rises: "1 in 8", "7", "5 down", "level".

        Parameters
        ----------
        spot : str
            Which spot.
        right, forward : str
            As typed; what is empty stays as it is.
        """
        kept = self.kept_survey(spot)
        old = kept.survey.slope
        slope = Slope(
            rise_right_frac=read_rise(right) if right else old.rise_right_frac,
            rise_forward_frac=read_rise(forward) if forward else old.rise_forward_frac,
        )
        return self._keep_elements(replace(kept, survey=replace(kept.survey, slope=slope)))

    def import_elements(self, spot: str, text: str, *, instead: bool = False) -> SurveyPage:
        """Add the elements of a table, or put them in place of all that is there.

        Parameters
        ----------
        spot : str
            Which spot.
        text : str
            CSV with a heading line.
        instead : bool
            Whether what is there goes.

        Raises
        ------
        BadInputError
            With every line that is not read or contradicts another; nothing is changed then.
        """
        known, kept = self.spot(spot), self.kept_survey(spot)
        if instead:
            kept = KeptSurvey(spot=kept.spot, survey=Survey(slope=kept.survey.slope))
        read = read_elements(text, hands=self.hands_at(known), trunks=kept.survey.trunks)
        survey = _all_of(kept.survey, [made for made, _ in read.elements])
        how = _how(kept, {made.name: words for made, words in read.elements})
        count = len(read.elements)
        notes = [f"{count} element{'' if count == 1 else 's'} taken from the table."]
        if read.unknown:
            notes.append(f"Passed over, for nothing here is called so: {', '.join(read.unknown)}.")
        return self._keep_elements(KeptSurvey(spot=kept.spot, survey=survey, how=how), *notes)

    def export_elements(self, spot: str) -> str:
        """Write the elements of a spot as a table that can be imported again.

        Raises
        ------
        NotFoundError
            If nothing was surveyed there.
        """
        kept = self.kept_survey(spot)
        rows = elements_of(kept)
        if not rows:
            raise NotFoundError(f"Nothing was surveyed at {kept.spot} yet; add a trunk first.")
        return write_elements(rows)

    def keep_survey(self, kept: KeptSurvey, *notes: str) -> SurveyPage:
        """Keep a survey that was put together elsewhere, such as from photographs."""
        return self._keep_elements(kept, *notes)

    def _keep_elements(self, kept: KeptSurvey, *notes: str) -> SurveyPage:
        survey_rows.put(self.book, kept)
        return _page(kept, *notes)


def elements_of(kept: KeptSurvey) -> tuple[tuple[Element, str], ...]:
    """Elements of a survey, each with how it was measured."""
    survey = kept.survey
    every: tuple[Element, ...] = (
        *survey.trunks, *survey.segments, *survey.holes, *survey.closed,
    )  # fmt: skip
    return tuple((one, kept.how.get(one.name, "")) for one in every)


def require_surveyed(kept: KeptSurvey) -> Survey:
    """Give a survey that holds trunks, or refuse.

    Raises
    ------
    BadInputError
        If there are fewer than two trunks.
    """
    if len(kept.survey.trunks) < 2:
        raise BadInputError(
            f"{kept.spot} has {len(kept.survey.trunks)} trunks surveyed, and two are wanted. Add "
            "them near one first, with angle, distance and width."
        )
    return kept.survey


def _page(kept: KeptSurvey, *notes: str) -> SurveyPage:
    return SurveyPage(spot=kept.spot, survey=kept.survey, how=dict(kept.how), notes=notes)


def _how(kept: KeptSurvey, more: Mapping[str, str]) -> dict[str, str]:
    return {**kept.how, **{name: words for name, words in more.items() if words}}


def _all_of(survey: Survey, made: Sequence[Element]) -> Survey:
    """Put elements into a survey one by one, and tell every one that contradicts it."""
    refused: list[str] = []
    for one in made:
        try:
            survey = with_element(survey, one)
        except BadInputError as why:
            refused.append(str(why))
    if refused:
        more = f" And {len(refused) - 4} more." if len(refused) > 4 else ""
        raise BadInputError(f"{' '.join(refused[:4])}{more} Nothing of the table was taken.")
    return survey


def _is_stale(key: str, typed: Mapping[str, str]) -> bool:
    """Whether a doubt belongs to a measurement that is now made again."""
    return key.startswith("doubt ") and key.removeprefix("doubt ") in typed
