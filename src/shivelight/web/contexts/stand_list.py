"""Spots that have a survey, and how to begin one."""

from dataclasses import dataclass

from shivelight.drawing.words import counted
from shivelight.outing.spots import SpotState
from shivelight.web.show import link
from shivelight.workbench.bench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotRow:
    """One spot: its survey in words, and where to go."""

    name: str
    wood: str
    words: str
    stand: str
    survey: str
    marks: str
    has_survey: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class StandsPage:
    """The list of spots, those with a survey first."""

    answer: str
    surveyed: tuple[SpotRow, ...]
    others: tuple[SpotRow, ...]


def stands_page(bench: Workbench) -> StandsPage:
    """Put the list together."""
    rows = []
    for wood in bench.woods():
        for spot in wood.spots:
            if spot.state is not SpotState.LOST:
                rows.append(_row(bench, spot.name, wood.wood.name))
    surveyed = tuple(one for one in rows if one.has_survey)
    answer = f"{counted(len(surveyed), 'spot')} with a survey."
    if not surveyed:
        answer = "No spot is surveyed yet. Choose one, and type two trunks, near one first."
    return StandsPage(
        answer=answer,
        surveyed=surveyed,
        others=tuple(one for one in rows if not one.has_survey),
    )


def _row(bench: Workbench, name: str, wood: str) -> SpotRow:
    survey = bench.kept_survey(name).survey
    trunks = counted(len(survey.trunks), "trunk") if survey.trunks else "nothing surveyed"
    return SpotRow(
        name=name,
        wood=wood,
        words=trunks,
        stand=link("/stand", spot=name),
        survey=link("/survey", spot=name),
        marks=link("/marks", spot=name),
        has_survey=bool(survey.names),
    )
