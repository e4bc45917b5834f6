"""skyline ground with a canopy raster, and what ``light`` then says."""

from pathlib import Path

import pytest

from shivelight.basis.places import Position
from tests.cli.conftest import Run
from tests.workbench.test_crowns import grove, level, write

SPOT = Position(latitude_deg=53.0004, longitude_deg=-5.0990)


@pytest.fixture
def grown(valley: Run) -> Run:
    """Work out the skyline of a spot that stands behind a grove."""
    write(Path("ground.tif"), SPOT, level)
    write(Path("crowns.tif"), SPOT, grove)
    ring = [word for deg in range(0, 360, 30) for word in ("--at", f"{deg}: 6")]
    assert valley("skyline", "set", "White Post Gap", *ring).code == 0
    for file, kind in (("ground.tif", "ground"), ("crowns.tif", "canopy")):
        ran = valley("wood", "raster", "Pinnet Heath", file, "--kind", kind)
        assert ran.code == 0, ran.err
    return valley


def test_the_day_says_what_crowns_leave_and_from_when(grown: Run) -> None:
    made = grown("skyline", "ground", "White Post Gap")
    assert made.code == 0, made.err
    assert "crowns from crowns.tif dim the sun" in " ".join(made.out.split())
    (window,) = grown("light", "on", "White Post Gap", "2027-11-03", "--json").json["at_subject"]
    assert window["start_utc"] < window["beam_start_utc"] < window["beam_end_utc"]
    assert 0.0 < window["beam_frac"] < 1.0
    told = " ".join(grown("light", "on", "White Post Gap", "2027-11-03").out.split())
    from_when = window["beam_start_utc"][11:16]  # the valley's clock is UTC in November
    assert f"direct light {from_when}" in told
    assert f"less than a twentieth before {from_when}" in told


def test_the_year_and_the_dark_season_say_how_they_count_crowns(grown: Run) -> None:
    assert grown("skyline", "ground", "White Post Gap").code == 0
    year = grown("light", "carpet", "White Post Gap", "2027").out
    assert "crowns leave less than a twentieth is not counted" in year
    dark = grown("light", "dark-season", "White Post Gap", "2027").out
    assert "crowns are not counted here" in dark


def test_under_crowns_is_kept_and_dims(valley: Run) -> None:
    changed = valley("spot", "change", "White Post Gap", "--under-canopy")
    assert changed.code == 0, changed.err
    assert "under crowns" in valley("spot", "show", "White Post Gap").out
    told = " ".join(valley("light", "on", "White Post Gap", "2027-11-03").out.split())
    assert "crowns leave" in told
