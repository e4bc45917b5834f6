"""The frame of every page: theme, notes shown once, errors of one shape, jobs."""

import threading

import pytest

from shivelight.basis.errors import MissingDataError
from shivelight.web.boxes import MOST_LETTERS, boxes, read_boxes
from shivelight.web.house import MOST_NOTES, Note
from shivelight.web.jobs import MOST_JOBS, Jobs, Progress
from shivelight.web.routes.looks import own_path
from shivelight.workbench.fields.evening import EVENING
from shivelight.workbench.fields.field import Field
from shivelight.workbench.fields.kit import BODY, LENS
from shivelight.workbench.fields.spots import SPOT, STATE, WISHES
from shivelight.workbench.fields.woods import ACCESS, WOOD
from tests.web.visitor import Visitor, house_of

EXAMPLES = {
    "at": "2027-11-02 21:40", "temperature_degc": "6.2", "dew_point_degc": "4.4",
    "humidity_frac": "88", "wind_mps": "3 mph", "wind_trend": "falling", "cloud_frac": "7/8",
    "clears_by": "01:00", "thickens_by": "04:00", "ground_wet": "wet", "pressure_hpa": "1021",
    "pressure_trend": "rising", "sensor": "36 x 24", "pixels_across": "6000", "base_iso": "100",
    "focal": "24-105", "widest_f_number": "4", "nearest_focus_m": "0.5",
    "position": "53.0043000, -5.0912000", "subject_position": "53.0043000, -5.0912000",
    "parking": "53.0012000, -5.1003000", "ground_height_m": "96", "view_azimuth_deg": "118",
    "lens_height_m": "1.4", "focal_length_mm": "135", "sensor_width_mm": "36",
    "mark.transits": "post over birch\nfork over trunk", "mark.last_confirmed": "2027-10-20",
    "walk_min": "18", "under_canopy": "crowns", "privacy": "never", "state": "made",
    "hazards": "bog\ndeer", "musts": "mist 60 to 1000 m\nstill air", "likes": "ground wet",
    "zone_name": "Europe/London", "stand": "birch",
    "outline": "53.0012000, -5.1003000\n53.0052000, -5.1003000\n53.0012000, -5.1053000",
    "habit.hollow_depth_m": "6", "habit.near_water": "yes", "habit.fog_top_m": "130",
    "habit.depth_m": "4", "road_min": "20", "noted_on": "2027-03-12", "from_day": "2027-03-12",
    "to_day": "2027-03-13", "closes": "no",
}  # fmt: skip
TABLES = EVENING + BODY + LENS + SPOT + WISHES + STATE + WOOD + ACCESS


@pytest.mark.parametrize("field", TABLES, ids=lambda field: field.key)
def test_what_a_page_writes_in_a_box_it_reads_back(field: Field) -> None:
    text = EXAMPLES.get(field.key, "some words")
    value = field.from_page(text)
    written = field.on_page(value)
    assert field.from_page(written) == value
    assert written == text


def test_no_box_of_a_page_opens_a_file() -> None:
    for field in TABLES:
        if field.key in {"position", "subject_position", "parking", "outline"}:
            assert field.place is not None, field.key


def test_a_box_that_is_too_long_is_refused() -> None:
    with pytest.raises(Exception, match="20000 is the most"):
        read_boxes(WOOD, {"note": "x" * (MOST_LETTERS + 1)})


def test_boxes_keep_what_was_typed() -> None:
    made = boxes(EVENING, {"temperature_degc": 6.2}, typed={"temperature_degc": "mild"})
    assert next(one.text for one in made if one.key == "temperature_degc") == "mild"


def test_the_theme_is_kept_in_the_browser(valley: Visitor) -> None:
    assert 'data-theme="paper"' in valley.get("/kit").text
    page = valley.post("/theme", theme="dim", back="/kit")
    assert page.url.path == "/kit"
    assert 'data-theme="dim"' in page.text
    assert 'data-theme="dim"' in valley.get("/nowhere").text
    assert valley.post("/theme", theme="pink", back="/kit").status_code == 422


def test_before_dawn_it_is_dim_by_the_clock(valley: Visitor) -> None:
    house = valley.house
    for wall, theme in (("2027-11-03T05:10", "dim"), ("2027-11-03T07:40", "paper")):
        visitor = Visitor(house_of(house.settings.book_path, wall))
        assert f'data-theme="{theme}"' in visitor.get("/kit").text


@pytest.mark.parametrize(
    "path", ["//evil.example", "https://evil.example", "\\\\evil", "/\\evil", ""]
)
def test_back_leads_nowhere_else(path: str) -> None:
    assert own_path(path) == "/"


def test_a_note_is_shown_once_and_the_oldest_go(valley: Visitor) -> None:
    house = valley.house
    for number in range(MOST_NOTES + 5):
        house.notes.keep(f"visit {number}", Note(words="done"))
    assert house.notes.take("visit 0") is None
    assert house.notes.take("visit 100") == Note(words="done")
    assert house.notes.take("visit 100") is None


@pytest.mark.parametrize(
    ("method", "path", "status"),
    [("GET", "/nowhere", 404), ("DELETE", "/kit", 405), ("GET", "/wood?name=Nowhere", 404),
     ("GET", "/job?name=none", 404), ("GET", "/picture?number=x&side=320", 422)],
)  # fmt: skip
def test_an_error_is_a_page_and_json_of_one_shape(
    valley: Visitor, method: str, path: str, status: int
) -> None:
    headers = {"Origin": "http://127.0.0.1:8017", "X-Form-Token": valley.token}
    page = valley.client.request(method, path, headers=headers)
    assert page.status_code == status
    assert "<h1>Not done</h1>" in page.text
    said = valley.client.request(
        method, path, headers={**headers, "Accept": "application/json"}
    ).json()
    assert set(said) == {"error"}
    assert set(said["error"]) == {"status", "kind", "sentence"}
    assert said["error"]["status"] == status


def test_a_fault_of_ours_is_told_without_its_entrails(
    valley: Visitor, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("the cellar is flooded")

    monkeypatch.setattr("shivelight.workbench.bench.Workbench.kit", broken)
    page = valley.get("/kit")
    assert page.status_code == 500
    assert "This is a fault of shivelight" in page.text
    assert "cellar" not in page.text


def test_a_job_tells_its_steps_and_stops_when_asked() -> None:
    jobs, go_on, told = Jobs(), threading.Event(), threading.Event()

    def work(progress: Progress) -> str:
        progress("reading", 1, 3)
        told.set()
        go_on.wait(10)
        progress("reading", 2, 3)
        return "read"

    state = jobs.start("reading tiles", work, then="/woods", key="tiles")
    assert told.wait(10)
    assert (jobs.state(state.name).step, jobs.state(state.name).done) == ("reading", 1)
    assert jobs.start("again", work, then="/", key="tiles").name == state.name
    jobs.stop(state.name)
    go_on.set()
    assert jobs.wait(state.name).state == "stopped"


def test_a_job_that_fails_says_why_and_a_fault_is_told_apart() -> None:
    jobs = Jobs()

    def refused(_: Progress) -> str:
        raise MissingDataError("There is no forecast.")

    def broken(_: Progress) -> str:
        raise RuntimeError("the cellar is flooded")

    one, other = (jobs.start("x", work, then="/") for work in (refused, broken))
    assert jobs.wait(one.name).words == "There is no forecast."
    assert "cellar" not in jobs.wait(other.name).words
    assert jobs.state(other.name).state == "failed"


def test_old_jobs_are_forgotten() -> None:
    jobs = Jobs()
    first = jobs.start("x", lambda _: "done", then="/")
    jobs.wait(first.name)
    for _ in range(MOST_JOBS + 1):
        jobs.wait(jobs.start("x", lambda _: "done", then="/").name)
    with pytest.raises(LookupError, match="no such job"):
        jobs.state(first.name)


def test_the_page_of_a_job_goes_on_when_it_is_done(valley: Visitor) -> None:
    state = valley.house.jobs.start("counting trunks", lambda _: "41 trunks.", then="/woods")
    valley.house.jobs.wait(state.name)
    page = valley.get("/job", name=state.name).text
    assert "41 trunks." in page
    assert 'href="/woods"' in page


def test_a_damaged_book_is_told_of_on_a_page_in_its_frame(valley: Visitor) -> None:
    valley.house.settings.book_path.write_bytes(b"no book at all " * 300)
    page = valley.get("/kit")
    assert page.status_code == 422
    assert "<h1>Not done</h1>" in page.text
    assert "is no field book" in page.text
    assert valley.json("/kit")["error"]["kind"] == "a file that cannot be read"
