"""The kit's page: what goes in, what comes out, and back again."""

import pytest

from tests.web.refusals import refusals
from tests.web.visitor import Visitor

BODY = {"name": "the big one", "sensor": "36 x 24", "pixels_across": "6000"}


def names(visitor: Visitor) -> tuple[list[str], list[str]]:
    said = visitor.json("/kit")
    return [name for name, _ in said["bodies"]], [name for name, _ in said["lenses"]]


def test_a_body_goes_in_and_undo_takes_it_out(empty: Visitor) -> None:
    page = empty.post("/kit/body", **BODY)
    assert "the big one is in the kit." in page.text
    assert "36 × 24 mm, 6000 pixels across, ISO 100 and up" in page.text
    assert 'action="/kit/drop"' in page.text.split("is in the kit.")[1].split("</form>")[0]
    empty.post("/kit/drop", name="the big one")
    assert names(empty) == ([], [])


def test_what_is_taken_out_comes_back_as_it_was(valley: Visitor) -> None:
    before = valley.json("/kit")["lenses"]
    page = valley.post("/kit/drop", name="70 to 200 mm")
    undo = page.text.split("is out of the kit.")[1].split("</form>")[0]
    boxes = dict(part.split('" value="') for part in undo.replace('">', "").split('name="')[2:])
    sent = {key: text.split('"')[0].split("<")[0] for key, text in boxes.items()}
    valley.post("/kit/lens", **sent)
    assert sorted(valley.json("/kit")["lenses"]) == sorted(before)


@pytest.mark.parametrize(
    ("path", "boxes", "key", "words"),
    [
        ("/kit/body", {**BODY, "sensor": "big"}, "sensor", "is not read; write it like 24-105"),
        ("/kit/body", {**BODY, "pixels_across": ""}, "pixels_across", "is needed"),
        ("/kit/lens", {"name": "x", "focal": "50", "widest_f_number": "wide"},
         "widest_f_number", "is no number"),
    ],
)  # fmt: skip
def test_a_box_is_refused_beside_itself(
    empty: Visitor, path: str, boxes: dict[str, str], key: str, words: str
) -> None:
    page = empty.post(path, **boxes)
    assert page.status_code == 422
    assert words in refusals(page.text)[key]
    assert names(empty) == ([], [])


def test_limits_of_the_whole_are_said_above_the_form(empty: Visitor) -> None:
    page = empty.post("/kit/lens", name="odd", focal="200-70", widest_f_number="4")
    assert page.status_code == 422
    assert 'role="alert"' in page.text
    assert "longest focal length is 70 mm" in page.text.lower()


def test_a_name_used_before_is_refused(valley: Visitor) -> None:
    page = valley.post("/kit/body", **{**BODY, "name": "24 MEGAPIXEL body"})
    assert page.status_code == 422
    assert "There is already a body named" in page.text


def test_what_is_not_there_cannot_be_taken_out(valley: Visitor) -> None:
    page = valley.post("/kit/drop", name="bellows")
    assert page.status_code == 404
    assert "The kit holds nothing named" in page.text
