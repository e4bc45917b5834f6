"""Surveys: elements put in, changed, dropped, tables both ways, refusals beside their boxes."""

import re

import pytest

from tests.web.visitor import Visitor

SPOT = "Plumb and Lean"
BARE = "Root Stair"


def names(valley: Visitor, spot: str = SPOT) -> tuple[str, ...]:
    with valley.house.bench() as bench:
        return bench.survey(spot).survey.names


def undone(valley: Visitor, page: str) -> str:
    """Press the Undo of a page."""
    found = re.search(r'name="undo" value="([^"]+)"', page)
    assert found is not None
    return valley.post("/wood/undo", undo=found[1]).text


def test_a_survey_says_what_stands_there_and_how_sure(valley: Visitor) -> None:
    page = valley.get("/survey", spot=SPOT)
    assert page.status_code == 200
    assert "7 trunks." in page.text
    assert "18.0 m, 10.5° left; width 38 cm" in page.text
    told = valley.json("/survey", spot=SPOT)
    assert [one["name"] for one in told["rows"]][:5] == ["Stub", "Crook", "Plumb", "Lean", "Pale"]
    assert [state for state, _ in told["order"]] == ["done", "done", "next"]
    assert told["rows"][2]["what"] == "trunk, subject"


def test_an_empty_survey_asks_for_the_subject_first(valley: Visitor) -> None:
    told = valley.json("/survey", spot=BARE)
    assert told["answer"] == "No trunks yet. Type two, near one first."
    assert told["order"][0][0] == "next"
    assert next(one for one in told["add"]["boxes"] if one["key"] == "role")["text"] == "subject"


def test_a_trunk_is_put_in_by_fingers_and_paces_and_taken_back(valley: Visitor) -> None:
    before = names(valley)
    page = valley.post(
        "/survey/add", spot=SPOT, kind="trunk", name="Warden", angle="1 fist right",
        distance="16 paces", width="50 cm", role="companion",
    )  # fmt: skip
    assert page.url.path == "/survey"
    assert "Warden is in the survey." in page.text
    assert set(names(valley)) - set(before) == {"Warden"}
    assert "12.0 m" in page.text
    assert "is as it was" in undone(valley, page.text)
    assert names(valley) == before


def test_what_is_missing_is_said_beside_its_box_and_nothing_is_lost(valley: Visitor) -> None:
    before = names(valley)
    page = valley.post("/survey/add", spot=SPOT, kind="trunk", name="Warden", angle="1 fist right")
    assert page.status_code == 422
    assert "Distance is needed" in page.text
    assert 'value="1 fist right"' in page.text
    assert names(valley) == before


def test_a_contradiction_is_a_sentence(valley: Visitor) -> None:
    page = valley.post(
        "/survey/add", spot=SPOT, kind="trunk", name="Twin", angle="0", distance="7.1 m",
        width="50 cm",
    )  # fmt: skip
    assert page.status_code == 422
    assert "stand in each other" in page.text


def test_other_things_are_put_in(valley: Visitor) -> None:
    sent = (
        {"kind": "branch", "name": "Twig", "from": "5 left / 2 m / 1.5 m",
         "to": "ahead / 2 m / 1.7 m", "width": "3 cm", "role": "intruder"},
        {"kind": "hole", "name": "Bright", "angle": "4 left", "altitude": "12", "size": "2 x 3"},
        {"kind": "closed", "name": "Bluebells",
         "corners": "10 left / 3 m\n10 right / 3 m\n10 right / 5 m"},
        {"kind": "ring", "name": "Plumb", "radius": "3 m"},
    )  # fmt: skip
    for said in sent:
        assert valley.post("/survey/add", spot=SPOT, **said).status_code == 200
    assert {"Twig", "Bright", "Bluebells", "ring of Plumb"} <= set(names(valley))
    refused = valley.post("/survey/add", spot=SPOT, kind="castle", name="Keep")
    assert refused.status_code == 422


def test_a_change_leaves_what_was_not_touched(valley: Visitor) -> None:
    with valley.house.bench() as bench:
        before = bench.kept_survey(SPOT)
    form = valley.json("/survey", spot=SPOT, change="Crook")["change"]
    boxes = {one["key"]: one["text"] for one in form["boxes"]}
    same = valley.post("/survey/change", spot=SPOT, was="Crook", **boxes)
    assert "nothing was changed" in same.text
    with valley.house.bench() as bench:
        assert bench.kept_survey(SPOT) == before
    page = valley.post("/survey/change", spot=SPOT, was="Crook", **(boxes | {"width": "64 cm"}))
    assert "Crook is changed." in page.text
    with valley.house.bench() as bench:
        after = bench.kept_survey(SPOT).survey.trunks[1]
    assert after.width_m == pytest.approx(0.64)
    assert after.distance_m == pytest.approx(before.survey.trunks[1].distance_m, abs=1e-9)
    assert "is as it was" in undone(valley, page.text)
    with valley.house.bench() as bench:
        assert bench.kept_survey(SPOT) == before


def test_dropping_has_a_way_back(valley: Visitor) -> None:
    before = names(valley)
    page = valley.post("/survey/drop", spot=SPOT, name="Pale")
    assert "Pale" not in names(valley)
    undone(valley, page.text)
    assert names(valley) == before
    assert valley.post("/survey/drop", spot=SPOT, name="Nobody").status_code == 404


def test_the_ground_is_sloped_in_words(valley: Visitor) -> None:
    page = valley.post("/survey/slope", spot=SPOT, right="1 in 8")
    assert "12 cm a metre up to the right" in page.text
    assert valley.post("/survey/slope", spot=SPOT, right="steep").status_code == 422
    assert valley.post("/survey/slope", spot=SPOT).status_code == 422


def test_a_table_goes_out_and_comes_in_again(valley: Visitor) -> None:
    saved = valley.get("/survey/table", spot=SPOT)
    assert saved.headers["content-type"].startswith("text/csv")
    assert saved.headers["content-disposition"].startswith("attachment")
    with valley.house.bench() as bench:
        before = bench.kept_survey(SPOT).survey
    page = valley.post("/survey/table", spot=SPOT, text=saved.text, instead="yes")
    assert page.status_code == 200
    with valley.house.bench() as bench:
        after = bench.kept_survey(SPOT).survey
    assert after.names == before.names
    assert after.trunks[0].x_m == pytest.approx(before.trunks[0].x_m, abs=1e-9)


def test_a_table_of_a_file_is_taken_in_or_refused_with_its_line(valley: Visitor) -> None:
    table = "name,angle,distance,width\nWarden,14 right,16 m,0.5\n"
    page = valley.post(
        "/survey/table/file", spot=SPOT, files={"file": ("wood.csv", table.encode(), "text/csv")}
    )
    assert "1 element taken from the table." in page.text
    wrong = valley.post("/survey/table", spot=SPOT, text="name,angle\nX,somewhere\n")
    assert wrong.status_code == 422
    binary = valley.post(
        "/survey/table/file", spot=SPOT, files={"file": ("x.csv", b"\xff\xfe\x00", "text/csv")}
    )
    assert binary.status_code == 422
    assert valley.post("/survey/table", spot=SPOT, text="").status_code == 422


def test_a_spot_that_is_not_there_is_said(valley: Visitor) -> None:
    assert valley.get("/survey", spot="Nowhere").status_code == 404
    assert valley.post("/survey/add", spot="Nowhere", kind="trunk").status_code == 404
