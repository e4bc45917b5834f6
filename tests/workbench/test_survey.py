"""What stands before the lens: typed, changed, imported, exported."""

import pytest

from shivelight.basis.errors import BadInputError, NotFoundError, OutOfRangeError
from shivelight.scene.elements import ClosedGround, Role
from shivelight.workbench.bench import Workbench
from shivelight.workbench.settings import Settings

SPOT = "Plumb and Lean"
BEECHES = (
    {"name": "Plumb", "angle": "0", "distance": "7", "width": "0.55", "role": "subject"},
    {"name": "Lean", "angle": "1.1 right", "distance": "13 m", "width": "42 cm"},
    {"name": "Pale", "angle": "at 210.2", "distance": "32 paces", "width": "30 cm"},
)
TABLE = "name,angle,distance paces,width cm\nStub,-10.5,24,38\nCrook,-6,13,60\n"


@pytest.fixture
def beeches(empty_spot: Workbench) -> Workbench:
    """Survey three beeches."""
    for said in BEECHES:
        empty_spot.add_element(SPOT, said)
    return empty_spot


@pytest.fixture
def empty_spot(spots: Workbench) -> Workbench:
    """Take a spot with nothing surveyed."""
    for name in spots.survey(SPOT).survey.names:
        spots.drop_element(SPOT, name)
    return spots


def test_trunks_are_kept_as_they_were_measured(beeches: Workbench) -> None:
    page = beeches.survey("plumb and lean")
    assert page.spot == SPOT
    plumb, lean, pale = page.survey.trunks
    assert plumb.role is Role.SUBJECT
    assert lean.angle_deg == pytest.approx(1.1)
    assert pale.angle_deg == pytest.approx(5.2)  # the view is toward 205°
    assert pale.distance_m == pytest.approx(24.0)
    assert pale.doubt.distance_m == pytest.approx(1.2)
    assert page.how["Pale"] == "angle at 210.2, distance 32 paces, width 30 cm"


def test_ones_own_pace_counts(beeches: Workbench) -> None:
    own = Workbench(beeches.book, Settings(book=beeches.settings.book, pace_m=0.9),
                    beeches.now_utc)  # fmt: skip
    page = own.add_element(SPOT, {**BEECHES[2], "name": "Far", "angle": "20"})
    assert page.survey.trunks[-1].distance_m == pytest.approx(28.8)


def test_a_trunk_in_a_trunk_is_refused_and_nothing_lost(beeches: Workbench) -> None:
    before = beeches.survey(SPOT)
    with pytest.raises(BadInputError, match=r"Plumb and Twin stand in each other: 0\.10 m apart"):
        beeches.add_element(SPOT, {**BEECHES[0], "name": "Twin", "distance": "7.1"})
    assert beeches.survey(SPOT) == before


def test_a_name_that_is_taken_is_refused(beeches: Workbench) -> None:
    with pytest.raises(BadInputError, match=r"Two elements are named"):
        beeches.add_element(SPOT, {**BEECHES[0], "name": "plumb", "angle": "30"})


def test_changing_leaves_the_rest(beeches: Workbench) -> None:
    page = beeches.change_element(SPOT, "pale", {"distance": "24.5 m", "name": "Old Pale"})
    pale = page.survey.trunks[2]
    assert (pale.name, pale.role) == ("Old Pale", Role.COMPANION)
    assert pale.distance_m == pytest.approx(24.5)
    assert pale.angle_deg == pytest.approx(5.2)
    assert pale.doubt.distance_m == pytest.approx(0.245)
    assert pale.doubt.angle_deg == pytest.approx(2.0)  # the bearing was not taken again
    assert page.how["Old Pale"].endswith("32 paces, width 30 cm; then distance 24.5 m")
    assert "Pale" not in page.how


def test_a_change_that_makes_no_sense_changes_nothing(beeches: Workbench) -> None:
    before = beeches.survey(SPOT)
    with pytest.raises(OutOfRangeError, match="width of Pale is 0 m"):
        beeches.change_element(SPOT, "Pale", {"width": "0"})
    assert beeches.survey(SPOT) == before


def test_dropping(beeches: Workbench) -> None:
    page = beeches.drop_element(SPOT, "LEAN")
    assert page.survey.names == ("Plumb", "Pale")
    assert "Lean" not in page.how
    with pytest.raises(NotFoundError, match="Nothing here is called 'Lean'; the survey holds Pl"):
        beeches.drop_element(SPOT, "Lean")


def test_a_ring_round_a_trunk(beeches: Workbench) -> None:
    page = beeches.add_element(SPOT, {"kind": "ring", "name": "plumb"})
    (ring,) = page.survey.closed
    assert isinstance(ring, ClosedGround)
    assert ring.radius_m == pytest.approx(8.25)


def test_the_ground_slopes(beeches: Workbench) -> None:
    page = beeches.slope_ground(SPOT, forward="1 in 8")
    page = beeches.slope_ground(SPOT, right="1 in 10 down")
    assert page.survey.slope.rise_forward_frac == pytest.approx(0.125)
    assert page.survey.slope.rise_right_frac == pytest.approx(-0.1)
    assert len(page.survey.trunks) == 3


def test_a_table_is_added_and_unknown_columns_are_told(beeches: Workbench) -> None:
    page = beeches.import_elements(SPOT, TABLE.replace("width cm", "mood,width cm").replace(
        ",38", ",glad,38").replace(",60", ",sad,60"))  # fmt: skip
    assert page.survey.names == ("Plumb", "Lean", "Pale", "Stub", "Crook")
    assert page.notes == (
        "2 elements taken from the table.",
        "Passed over, for nothing here is called so: mood.",
    )


def test_a_table_takes_the_place_of_all(beeches: Workbench) -> None:
    page = beeches.import_elements(SPOT, TABLE, instead=True)
    assert page.survey.names == ("Stub", "Crook")
    assert set(page.how) == {"Stub", "Crook"}


def test_a_table_that_contradicts_is_refused_whole(beeches: Workbench) -> None:
    before = beeches.survey(SPOT)
    with pytest.raises(
        BadInputError, match=r"Plumb and Twin stand in each other.*named Crook.*Nothing of the"
    ):
        beeches.import_elements(SPOT, f"{TABLE}Twin,0.1,9.34,50\nCrook,30,9,40\n")
    assert beeches.survey(SPOT) == before


def test_what_is_exported_is_imported_again(beeches: Workbench) -> None:
    before = beeches.survey(SPOT)
    page = beeches.import_elements(SPOT, beeches.export_elements(SPOT), instead=True)
    assert page.how == before.how
    for one, back in zip(before.survey.trunks, page.survey.trunks, strict=True):
        assert back.name == one.name
        assert back.x_m == pytest.approx(one.x_m, abs=1e-9)
        assert back.y_m == pytest.approx(one.y_m, abs=1e-9)
        assert back.doubt.distance_m == pytest.approx(one.doubt.distance_m, abs=1e-9)


def test_nothing_is_no_table(empty_spot: Workbench) -> None:
    with pytest.raises(NotFoundError, match="Nothing was surveyed at Plumb and Lean yet"):
        empty_spot.export_elements(SPOT)
