"""Trunks marked on pictures: without a script, against a rendered wood, two a step apart."""

import io
import json
from pathlib import Path

import pytest
from PIL import Image

from shivelight.basis.errors import BadInputError
from shivelight.web.contexts.surveys_marks import MarksDraft, draft_from, nearer, part_of, tap_of
from shivelight.workbench.typed_marks import read_marks
from tests.web.test_surveys import BARE, undone
from tests.web.visitor import Visitor

RENDERS = Path(__file__).parents[1] / "data" / "renders"
WOOD = json.loads((RENDERS / "hanger.json").read_text())
SEEN = ("Plumb", "Lean", "Crook")
SENSOR = {"lens_height": "1.5", "pitch": "-3", "focal": "28", "sensor": "36"}


@pytest.fixture
def pictured(valley: Visitor) -> tuple[str, str]:
    """Keep two rendered pictures, a step apart, with a spot."""
    with valley.house.bench() as bench:
        a, b = (
            bench.keep_picture((RENDERS / f"hanger-clear-{one}.png").read_bytes(), spot=BARE)
            for one in "ab"
        )
    return str(a.id), str(b.id)


def lines(names: tuple[str, ...] = SEEN, *, feet: bool = True) -> str:
    """Write the true marks of the first picture, one trunk a line."""
    told = []
    for name in names:
        mark = WOOD["shots"]["clear-a"]["marks"][name]
        foot = f", foot {mark['foot_px'][0]:.1f} {mark['foot_px'][1]:.1f}" if feet else ""
        edges = f"{mark['left_px'][0]:.1f} {mark['right_px'][0]:.1f} at {mark['left_px'][1]:.1f}"
        told.append(f"{name}: edges {edges}{foot}")
    return "\n".join(told)


def test_a_picture_is_shown_at_sizes_that_can_be_tapped(
    valley: Visitor, pictured: tuple[str, str]
) -> None:
    page = valley.get("/survey/photo", spot=BARE, picture=pictured[0])
    assert page.status_code == 200
    for side in (880, 356, 288):
        assert f'name="at{side}"' in page.text
    part = valley.get("/survey/photo/part", picture=pictured[0], side=356, zoom=2, x=0.9, y=0.1)
    assert part.headers["content-type"] == "image/jpeg"
    assert part.content[:2] == b"\xff\xd8"
    assert valley.get("/survey/photo/part", picture=pictured[0], side=99).status_code == 422
    assert valley.get("/survey/photo/part", picture="999", side=356).status_code == 404
    listed = valley.json("/survey", spot=BARE)["pictures"]
    assert len(listed) == 2


def test_trunks_are_marked_and_measured_without_a_script(
    valley: Visitor, pictured: tuple[str, str]
) -> None:
    at = {"spot": BARE, "picture": pictured[0], **SENSOR}
    true = WOOD["shots"]["clear-a"]["marks"]["Plumb"]
    places: dict[str, str] = {}
    for key, (x, y) in (
        ("left", true["left_px"]), ("right", true["right_px"]), ("foot", true["foot_px"]),
    ):  # fmt: skip
        scale = 880 / WOOD["width_px"]
        tap = {"at880__x": int((x + 0.5) * scale), "at880__y": int((y + 0.5) * scale)}
        page = valley.post("/survey/photo", **at, **places, **tap, sets=key)
        assert page.status_code == 200
        said = valley.client.post(
            "/survey/photo",
            data={"form_token": valley.token, **at, **places, "sets": key,
                  **{k.replace("__", "."): str(v) for k, v in tap.items()}},
            headers={"Origin": "http://127.0.0.1:8017", "Accept": "application/json"},
        ).json()  # fmt: skip
        places[key] = said["draft"][key]
        assert [float(one) for one in places[key].split()] == pytest.approx([x, y], abs=1.5)
    page = valley.post("/survey/photo", **at, **places, name="Plumb", role="subject", do="trunk")
    assert "Plumb is marked." in page.text
    assert "1 trunk marked." in page.text
    twice = valley.post(
        "/survey/photo", **at, **places, name="plumb", marks=lines(("Plumb",)), do="trunk"
    )
    assert twice.status_code == 422
    assert "is marked already" in twice.text


def test_measured_trunks_agree_with_the_wood_and_go_into_the_survey(
    valley: Visitor, pictured: tuple[str, str]
) -> None:
    at = {"spot": BARE, "picture": pictured[0], **SENSOR, "marks": lines()}
    page = valley.post("/survey/photo", **at, do="measure")
    assert "3 trunks are measured." in page.text
    page = valley.post("/survey/photo", **at, do="take")
    assert page.url.path == "/survey"
    with valley.house.bench() as bench:
        trunks = {one.name: one for one in bench.survey(BARE).survey.trunks}
    for name in SEEN:
        true = WOOD["shots"]["clear-a"]["marks"][name]
        off_m = abs(trunks[name].distance_m - true["distance_m"])
        assert off_m < 3.0 * trunks[name].doubt.distance_m
        assert off_m < 0.1 * true["distance_m"]
        assert trunks[name].angle_deg == pytest.approx(true["bearing_deg"], abs=0.5)
    undone(valley, page.text)
    with valley.house.bench() as bench:
        assert bench.survey(BARE).survey.names == ()


def test_what_cannot_be_measured_is_said(valley: Visitor, pictured: tuple[str, str]) -> None:
    at = {"spot": BARE, "picture": pictured[0]}
    none = valley.post("/survey/photo", **at, **SENSOR, do="measure")
    assert none.status_code == 422
    assert "No trunk is marked yet" in none.text
    held = io.BytesIO()
    Image.new("RGB", (720, 480), (90, 90, 90)).save(held, format="PNG")
    with valley.house.bench() as bench:
        plain = bench.keep_picture(held.getvalue(), spot=BARE).id
    blind = valley.post("/survey/photo", spot=BARE, picture=plain, marks=lines(), do="measure")
    assert blind.status_code == 409
    assert "does not tell its focal length" in blind.text
    high = "Plumb: edges 240 297 at 210, foot 270 150"
    above = valley.post("/survey/photo", **at, **SENSOR, marks=high, do="measure")
    assert above.status_code == 200
    assert "horizon" in above.text
    odd = valley.post("/survey/photo", **at, **SENSOR, marks="Plumb is there", do="measure")
    assert odd.status_code == 422
    assert "Plumb is there" in odd.text
    assert "is not understood" in odd.text


def test_two_pictures_are_measured_by_a_job_and_taken(
    valley: Visitor, pictured: tuple[str, str]
) -> None:
    first, second = pictured
    page = valley.get("/survey/pair", spot=BARE, first=first)
    assert page.text.count('name="second"') == 2
    step = str(WOOD["shots"]["clear-b"]["view"]["x_m"])
    sent = valley.post(
        "/survey/pair", spot=BARE, first=first, second=second, step=step,
        marks=lines(feet=False), **SENSOR,
    )  # fmt: skip
    assert sent.url.path == "/job"
    page = valley.wait(sent)
    assert "3 trunks are measured." in page.text
    key = page.text.split('name="result" value="')[1].split('"', maxsplit=1)[0]
    taken = valley.post("/survey/pair/take", spot=BARE, result=key)
    assert "3 trunks are in the survey" in taken.text
    with valley.house.bench() as bench:
        trunks = {one.name: one for one in bench.survey(BARE).survey.trunks}
    for name in SEEN:
        true = WOOD["shots"]["clear-a"]["marks"][name]
        off_m = abs(trunks[name].distance_m - true["distance_m"])
        assert off_m < max(0.05 * true["distance_m"], 3.0 * trunks[name].doubt.distance_m)
    undone(valley, taken.text)
    with valley.house.bench() as bench:
        assert bench.survey(BARE).survey.names == ()
    assert valley.post("/survey/pair/take", spot=BARE, result="gone").status_code == 404


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"second": ""}, "Choose two pictures"),
        ({"second": "first"}, "Choose two different pictures"),
        ({"step": ""}, "How far apart the two were taken is needed"),
        ({"step": "far"}, "step"),
        ({"marks": "odd"}, "is not understood"),
    ],
)
def test_a_pair_is_refused_in_sentences(
    valley: Visitor, pictured: tuple[str, str], change: dict[str, str], words: str
) -> None:
    first, second = pictured
    sent = {"first": first, "second": second, "step": "0.5", "marks": "", **SENSOR, **change}
    sent = {key: first if text == "first" else text for key, text in sent.items()}
    page = valley.post("/survey/pair", spot=BARE, **sent)
    assert page.status_code == 422
    assert words in page.text


def test_a_picture_is_sent_and_chosen(valley: Visitor) -> None:
    data = (RENDERS / "hanger-clear-a.png").read_bytes()
    page = valley.post(
        "/survey/pair/picture", spot=BARE, first="", files={"file": ("a.png", data, "image/png")}
    )
    assert page.url.path == "/survey/pair"
    assert page.url.params["first"]
    assert "checked" in page.text


def test_the_part_that_is_shown_stays_in_the_picture() -> None:
    draft = MarksDraft()
    for do in ("closer", "closer", "west", "west", "west", "north"):
        draft = nearer(draft, do)
    part = part_of(draft, 6000, 4000)
    assert (part.left_px, part.width_px, part.height_px) == (0.0, 1500.0, 1000.0)
    assert part.top_px >= 0.0
    assert nearer(draft, "whole").zoom == 1
    assert nearer(MarksDraft(zoom=8), "closer").zoom == 8


def test_taps_and_drafts_of_nonsense_are_held_in_bounds() -> None:
    assert tap_of({}, 0.7) is None
    assert tap_of({"at880.x": "9999", "at880.y": "-4"}, 0.7) == (1.0, 0.0)
    with pytest.raises(BadInputError, match="no number"):
        tap_of({"at880.x": "x", "at880.y": "1"}, 0.7)
    with pytest.raises(BadInputError, match="no number"):
        tap_of({"at880.x": "nan", "at880.y": "1"}, 0.7)
    odd = draft_from({"zoom": "3", "middle_x": "inf", "sets": "roof"})
    assert (odd.zoom, odd.middle_x, odd.sets) == (1, 0.5, "left")
    with pytest.raises(BadInputError, match="60 is the most"):
        read_marks("\n".join(f"T{one}: edges 1 9 at 5" for one in range(61)))
