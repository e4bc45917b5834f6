"""The season carpet: hours, colours, the chosen day, and its sentence."""

import datetime as dt

import numpy as np
import pytest

from shivelight.basis.errors import BadInputError
from shivelight.drawing.carpet import carpet_sentence, season_carpet_svg
from tests.drawing.light_figures import carpet

ZONE = "UTC"


def test_mornings_run_from_four_to_eleven() -> None:
    svg = season_carpet_svg(carpet(), title="T", zone_name=ZONE)
    assert ">04:00<" in svg
    assert ">11:00<" in svg
    assert all(f">{month}<" in svg for month in ("Jan", "Jun", "Dec"))


def test_evening_spots_get_their_own_hours() -> None:
    svg = season_carpet_svg(carpet(evening=True), title="T", zone_name=ZONE)
    assert ">04:00<" not in svg
    assert ">18:00<" in svg


def test_a_met_wish_is_copper_and_named() -> None:
    year = carpet()
    met = np.zeros(year.state.shape, dtype=np.bool_)
    assert "#A8481A" not in season_carpet_svg(year, title="T", zone_name=ZONE, met=met)
    met[30:60, 36] = True
    assert "#A8481A" in season_carpet_svg(year, title="T", zone_name=ZONE, met=met)
    said = carpet_sentence(year, zone_name=ZONE, met=met)
    assert said.endswith("the wish's light on 31 January to 1 March.")


def test_a_year_without_light_says_so() -> None:
    assert "No direct light" in carpet_sentence(carpet(dark=True), zone_name=ZONE)
    assert "<svg" in season_carpet_svg(carpet(dark=True), title="T", zone_name=ZONE)


def test_first_light_is_given_with_its_days() -> None:
    said = carpet_sentence(carpet(), zone_name=ZONE)
    assert said == (
        "Direct light on every day; first light from 06:00 (27 June) to 09:00 (1 January)."
    )


def test_the_chosen_day_is_marked() -> None:
    chosen = season_carpet_svg(carpet(), title="T", zone_name=ZONE, chosen=dt.date(2027, 11, 3))
    assert ">3 Nov<" in chosen
    with pytest.raises(BadInputError, match="2029-01-01 is not on this carpet"):
        season_carpet_svg(carpet(), title="T", zone_name=ZONE, chosen=dt.date(2029, 1, 1))


def test_cells_of_another_shape_and_unknown_styles_are_refused() -> None:
    with pytest.raises(BadInputError, match="cells are"):
        season_carpet_svg(
            carpet(), title="T", zone_name=ZONE, met=np.zeros((2, 2), dtype=np.bool_)
        )
    with pytest.raises(BadInputError, match="not 'neon'"):
        season_carpet_svg(carpet(), title="T", zone_name=ZONE, style="neon")


def test_print_has_no_colour() -> None:
    met = np.zeros(carpet().state.shape, dtype=np.bool_)
    met[30:60, 36] = True
    svg = season_carpet_svg(carpet(), title="T", zone_name=ZONE, style="print", met=met)
    assert "#A8481A" not in svg
    assert 'stroke-width="3"' in svg
