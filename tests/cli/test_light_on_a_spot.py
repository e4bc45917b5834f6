"""skyline, light and sun: typed heights, direct light by the clock, a dark season, a picture."""

import re
from pathlib import Path

import pytest

from tests.cli.conftest import Run, assert_refused

# --- skyline ------------------------------------------------------------------------------


def test_a_skyline_typed_in_hand_spans_is_kept(valley: Run) -> None:
    ran = valley("skyline", "set", "Heath Edge", "--at", "95: 1 fist 2 fingers", "--at", "130: 5",
                 "--at", "170: 2", "--json")  # fmt: skip
    assert ran.code == 0, ran.err
    assert ran.json["highest_deg"] == pytest.approx(12.0, abs=2.5)  # a fist is about 10°
    assert ran.json["highest_toward_deg"] == pytest.approx(95.0, abs=1.0)


def test_a_skyline_is_read_from_a_file_and_shown_round_the_compass(valley: Run) -> None:
    rows = "".join(f"{deg},{28 if deg == 180 else 4}\n" for deg in range(0, 360, 30))
    Path("heights.csv").write_text("bearing,height\n" + rows, encoding="utf-8")
    assert valley("skyline", "set", "Heath Edge", "--file", "heights.csv").code == 0
    told = valley("skyline", "show", "Heath Edge").out
    assert told.startswith("Heath Edge: highest 28.0° toward 180° true.")
    assert re.search(r"^south +180\.0° +28\.0°$", told, re.M)


def test_a_finger_of_ones_own_changes_the_height(valley: Run) -> None:
    lines = [word for deg in range(0, 360, 30) for word in ("--at", f"{deg}: 2 fingers")]
    small = valley("skyline", "set", "Heath Edge", *lines, "--finger", "1,0", "--json").json
    large = valley("skyline", "set", "Heath Edge", *lines, "--finger", "1.5", "--json").json
    assert large["highest_deg"] == pytest.approx(1.5 * small["highest_deg"], rel=1e-6)


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (("skyline", "set", "Heath Edge"), 2, "No heights were given"),
        (("skyline", "set", "Heath Edge", "--at", "95: tall"), 2, "tall"),
        (("skyline", "set", "Heath Edge", "--file", "none.csv"), 5, "none.csv"),
        (("skyline", "set", "Nowhere", "--at", "95: 2"), 3, "Nowhere"),
        (("skyline", "ground", "Heath Edge"), 4, "no ground raster"),
        (("skyline", "ground", "Heath Edge", "--reach", "far"), 2, "reach 'far'"),
        (("skyline", "show", "Nowhere"), 3, "Nowhere"),
    ],
)
def test_a_skyline_that_makes_no_sense_is_refused(
    valley: Run, words: tuple[str, ...], code: int, told: str
) -> None:
    assert_refused(valley(*words), code, told)


# --- light --------------------------------------------------------------------------------


def test_light_on_a_spot_comes_later_than_the_flat_sunrise(valley: Run) -> None:
    # DEMO.md, "How exact these figures are": flat sunrise 07:21, over a 2° skyline 07:38, both
    # from Skyfield with refraction and the upper limb; the spot stands 300 m from that place.
    told = valley("light", "on", "White Post Gap", "2027-11-03").out
    sunrise = re.search(r"flat sunrise +(\d\d:\d\d)", told)
    first = re.search(r"direct light (\d\d:\d\d)–", " ".join(told.split()))
    assert sunrise is not None
    assert first is not None
    assert sunrise[1] in {"07:20", "07:21", "07:22"}
    assert first[1] in {"07:37", "07:38", "07:39"}
    assert "(GMT)" in told


def test_light_has_a_picture_and_json(valley: Run) -> None:
    ran = valley("light", "on", "White Post Gap", "tomorrow", "--picture", "p.svg", "--json")
    assert ran.json["day"] == "2027-11-03"
    assert ran.json["at_stand_point"]
    assert Path("p.svg").read_text(encoding="utf-8").lstrip().startswith("<svg")


def test_a_picture_that_cannot_be_written_is_refused(valley: Run) -> None:
    Path("folder.svg").mkdir()
    ran = valley("light", "on", "White Post Gap", "tomorrow", "--picture", "folder.svg")
    assert_refused(ran, 2)


def test_a_gorge_has_a_dark_season_and_a_heath_has_none(valley: Run) -> None:
    walls = [f"{bearing}: 28" for bearing in range(75, 300, 15)]
    rest = ["0: 22", "45: 22", "315: 22"]
    typed = [word for line in (*walls, *rest) for word in ("--at", line)]
    assert valley("skyline", "set", "Heath Edge", *typed).code == 0
    # DEMO.md: a gorge skyline of 28° gives a dark season of 17 October to 24 February. It names
    # no year, and such a date moves by a day from year to year.
    told = valley("light", "dark-season", "Heath Edge", "2027").out
    assert re.search(r"no direct sun 1[678] October 2027 to 2[345] February 2028", told)
    told = valley("light", "dark-season", "White Post Gap").out
    assert "on every day of 2027" in told


def test_the_year_of_a_spot_is_shown_by_half_months(valley: Run) -> None:
    told = valley("light", "carpet", "White Post Gap", "2027", "--picture", "y.svg").out
    assert re.search(r"^1 Nov +07:3\d +1\d:\d\d +GMT$", told, re.M)
    assert re.search(r"^1 Jul +0[45]:\d\d +2\d:\d\d +BST$", told, re.M)
    assert "<svg" in Path("y.svg").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (("light", "on", "Nowhere", "tomorrow"), 3, "Nowhere"),
        (("light", "on", "White Post Gap", "2027-02-30"), 2, "2027-02-30"),
        (("light", "dark-season", "Nowhere"), 3, "Nowhere"),
        (("light", "dark-season", "White Post Gap", "soon"), 2, "year 'soon' is no whole number"),
        (("light", "carpet", "Nowhere"), 3, "Nowhere"),
    ],
)
def test_light_that_cannot_be_worked_out_is_refused(
    valley: Run, words: tuple[str, ...], code: int, told: str
) -> None:
    assert_refused(valley(*words), code, told)


# --- sun ----------------------------------------------------------------------------------


def test_the_sun_needs_no_book(run: Run) -> None:
    # DEMO.md: flat sunrise 07:21, noon height 22.0° on 3 November 2027 at 53.00 N 5.10 W.
    ran = run("sun", "2027-11-03", "--at", "53.0 N 5.1 W", "--zone", "Europe/London")
    assert ran.code == 0, ran.err
    assert re.search(r"^sunrise +07:21 +11\d°", ran.out, re.M)
    noon = run("sun", "2027-11-03", "--at", "53.0 N 5.1 W", "--zone", "Europe/London", "--json")
    assert noon.json["noon_altitude_deg"] == pytest.approx(22.0, abs=0.1)  # airless: 0.04° less
    assert list(Path().iterdir()) == []


def test_a_polar_night_is_said_and_no_time_invented(run: Run) -> None:
    ran = run("sun", "2027-12-21", "--at", "78.2,15.6", "--zone", "Arctic/Longyearbyen")
    assert re.search(r"^sunrise +none", ran.out, re.M)
    told = run("sun", "2027-12-21", "--at", "78.2,15.6", "--zone", "Arctic/Longyearbyen", "--json")
    assert told.json["sunrise_utc"] is None


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (("sun", "2027-11-03", "--at", "53,-5"), 2, "--zone Europe/London"),
        (("sun", "2027-11-03", "--at", "53,-5", "--zone", "Wennick"), 3, "'Wennick'"),
        (("sun", "2027-11-03", "--at", "north", "--zone", "UTC"), 2, "north"),
        (("sun", "2027-11-03"), 2, "'--at'"),
    ],
)
def test_a_sun_that_makes_no_sense_is_refused(
    run: Run, words: tuple[str, ...], code: int, told: str
) -> None:
    assert_refused(run(*words), code, told)
