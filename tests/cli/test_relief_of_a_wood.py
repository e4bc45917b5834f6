"""``wood relief`` and ``wood outline`` as typed."""

import json
from pathlib import Path

from shivelight.cli import exits
from tests.cli.conftest import Run, assert_refused

RING = [[-5.12, 52.99], [-5.08, 52.99], [-5.08, 53.01], [-5.12, 53.01], [-5.12, 52.99]]


def outline_file(folder: Path) -> Path:
    path = folder / "edge.geojson"
    feature = {
        "type": "Feature",
        "properties": {"name": "Pinnet Heath"},
        "geometry": {"type": "Polygon", "coordinates": [RING]},
    }
    path.write_text(json.dumps(feature))
    return path


def test_an_outline_from_a_file_and_the_wood_drawn_with_it(valley: Run, tmp_path: Path) -> None:
    took = valley("wood", "outline", "Pinnet Heath", str(outline_file(tmp_path)))
    assert took.code == 0
    assert took.out == "Pinnet Heath has an outline of 4 corners.\n"
    out = tmp_path / "heath.svg"
    made = valley("wood", "relief", "Pinnet Heath", "--out", str(out))
    assert made.code == 0
    assert "Outline of 4 corners" in " ".join(made.out.split())
    assert "no raster of its ground yet" in " ".join(made.out.split())
    assert out.read_text().startswith("<svg")


def test_json_tells_every_mark(valley: Run, tmp_path: Path) -> None:
    out = tmp_path / "heath.svg"
    made = valley(
        "wood", "relief", "Pinnet Heath", "--out", str(out), "--at", "53.0004, -5.0990",
        "--radius", "300", "--side", "600", "--json",
    )  # fmt: skip
    told = made.json
    assert (told["radius_m"], told["pixel_m"], told["lowest_m"]) == (300.0, 1.0, None)
    (spot,) = (one for one in told["marks"] if one["name"] == "White Post Gap")
    assert round(spot["x_px"], 3) == round(spot["y_px"], 3) == 300.0
    kept = valley("wood", "outline", "Pinnet Heath", str(outline_file(tmp_path)), "--json").json
    assert kept["corners"] == 4
    assert len(kept["page"]["wood"]["outline"]) == 4


def test_what_is_refused(valley: Run, tmp_path: Path) -> None:
    shade = valley("wood", "relief", "Pinnet Heath", "--out", str(tmp_path / "heath.png"))
    assert_refused(shade, exits.MISSING, "no raster of its ground yet")
    gone = valley("wood", "outline", "Pinnet Heath", str(tmp_path / "none.gpx"))
    assert_refused(gone, exits.UNREADABLE, "There is no file none.gpx")
    edge = str(outline_file(tmp_path))
    wrong = valley("wood", "outline", "Pinnet Heath", edge, "--named", "Other")
    assert_refused(wrong, exits.BAD_INPUT, "it holds: Pinnet Heath.")
    far = valley("wood", "relief", "Pinnet Heath", "--out", "x.svg", "--radius", "1")
    assert_refused(far, exits.BAD_INPUT, "it must be 10 to 25000 m")
