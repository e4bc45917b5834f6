"""Marks: anchors noted, gone and dropped with a way back; the mark found again; layers."""

from tests.web.test_surveys import BARE, SPOT, undone
from tests.web.visitor import Visitor


def lines(valley: Visitor, spot: str = SPOT) -> tuple[str, ...]:
    with valley.house.bench() as bench:
        return bench.mark(spot).lines


def test_a_mark_says_how_well_it_will_be_found(valley: Visitor) -> None:
    told = valley.json("/marks", spot=SPOT)
    assert told["answer"].startswith("You will find it again to about ")
    assert {one["name"] for one in told["anchors"]} >= {"Plumb", "Crook", "gate post"}
    assert told["found"] is None
    page = valley.get("/marks", spot=SPOT)
    assert "7.00 m to the middle of Plumb" in page.text


def test_where_one_stands_is_told_with_its_likely_error(valley: Visitor) -> None:
    # 30 cm to the left and 10 cm back of the mark, worked out by hand from the places typed:
    # Plumb stands at (0, 7), the gate post at 5.6 m and 72 degrees right.
    asked = {"d.Plumb": "7.106", "d.gate post": "5.918"}
    told = valley.json("/marks", spot=SPOT, **asked)["found"]
    assert "30 cm left" in told["words"] or "29 cm left" in told["words"]
    assert "10 cm back" in told["words"] or "11 cm back" in told["words"]
    assert "likely error" in told["words"]
    assert told["plan"]["page"].startswith("<svg")
    page = valley.get("/marks", spot=SPOT, **asked)
    assert "Where you stand" in page.text
    assert 'value="7.106"' in page.text


def test_too_little_or_nonsense_is_a_sentence_and_stays_typed(valley: Visitor) -> None:
    one = valley.get("/marks", spot=SPOT, **{"d.Plumb": "7.1"})
    assert one.status_code == 409
    assert "Two measurements are wanted" in one.text
    wrong = valley.get("/marks", spot=SPOT, **{"d.Plumb": "far", "d.Crook": "10"})
    assert wrong.status_code == 422
    assert 'value="far"' in wrong.text


def test_an_anchor_is_noted_gone_stands_and_is_dropped(valley: Visitor) -> None:
    before = lines(valley)
    page = valley.post("/marks/note", spot=SPOT, transits="Plumb right / Lean right")
    assert "1 anchor is noted" in page.text
    assert len(lines(valley)) == len(before) + 1
    undone(valley, page.text)
    assert lines(valley) == before
    assert "noted as gone" in valley.post("/marks/gone", spot=SPOT, name="Plumb").text
    assert any("Plumb is gone" in line for line in lines(valley))
    assert "stands after all" in valley.post("/marks/stands", spot=SPOT, name="Plumb").text
    assert lines(valley) == before
    page = valley.post("/marks/drop", spot=SPOT, name="Crook")
    assert not any("Crook" in line for line in lines(valley))
    undone(valley, page.text)
    assert lines(valley) == before


def test_nothing_noted_is_refused_and_strangers_are_not_found(valley: Visitor) -> None:
    empty = valley.post("/marks/note", spot=SPOT)
    assert empty.status_code == 422
    assert "Note two things in line, or a distance, or both." in empty.text
    typed = valley.post("/marks/note", spot=SPOT, distances="Plumb is far")
    assert typed.status_code == 422
    assert "Plumb is far" in typed.text
    assert valley.post("/marks/drop", spot=SPOT, name="Nobody").status_code == 404
    assert valley.get("/marks", spot="Nowhere").status_code == 404


def test_a_mark_without_anchors_says_how_to_begin(valley: Visitor) -> None:
    with valley.house.bench() as bench:
        for one in bench.mark(SPOT).anchors.distances:
            bench.forget_anchor(SPOT, one.to)
    assert valley.json("/marks", spot=SPOT)["answer"].startswith("No anchors yet.")
    assert valley.json("/marks", spot=BARE)["surveyed"] == []


def test_standing_on_it_is_confirmed(valley: Visitor) -> None:
    page = valley.post("/marks/confirmed", spot=SPOT)
    assert page.url.path == "/marks"
    assert "Last found right on" in page.text
    assert "2 November 2027" in page.text.partition("Last found right on")[2][:60]
    assert "is as it was" in undone(valley, page.text)


def test_layers_offer_their_window_as_a_wish_by_one_button(valley: Visitor) -> None:
    told = valley.json("/layers", spot=SPOT, range="120")
    assert told["wish"].startswith("mist ")
    assert len(told["rows"]) == 5
    assert told["stair"]["page"].startswith("<svg")
    page = valley.post("/layers/wish", spot=SPOT, range="120")
    assert f"now waits for {told['wish']}" in page.text
    assert told["wish"] in valley.get("/spot/wishes", name=SPOT).text
    with valley.house.bench() as bench:
        assert (
            told["wish"] in {str(one) for one in bench.spot(SPOT).wishes}
            or bench.spot(SPOT).wishes
        )
    undone(valley, page.text)


def test_layers_refuse_nonsense_and_say_what_is_wanted(valley: Visitor) -> None:
    assert valley.get("/layers", spot=SPOT, range="thick").status_code == 422
    assert valley.get("/layers", spot=SPOT, range="0").status_code == 422
    bare = valley.get("/layers", spot=BARE)
    assert bare.status_code == 200
    assert "trunks surveyed" in bare.text
