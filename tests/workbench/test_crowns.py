"""A raster of crowns dims the sun on a spot: rasters in, kept table, windows, signs, words."""

import datetime as dt
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import rasterio
from rasterio.transform import from_origin

from shivelight.basis.arrays import FloatArray
from shivelight.basis.places import Position, destination
from shivelight.light.beams import LEAST_BEAM_FRAC
from shivelight.light.year import SHADE, SUN
from shivelight.outing.kept import RasterNote
from shivelight.outing.spots import Sight, Spot
from shivelight.outing.wishes import parse_wish
from shivelight.store import rasters as raster_rows
from shivelight.wood.canopy import Canopy, beam_through_frac
from shivelight.wood.crowns import CrownTable, crown_beam_frac
from shivelight.workbench.bench import Workbench
from shivelight.workbench.crowns import ALTITUDES_DEG, canopy_over, crowns_from_rasters
from tests.workbench.conftest import at, opened

SPOT = "White Post Gap"
DAY = dt.date(2027, 11, 3)
GROUND_M = 96.0
SHARED = Path(__file__).parents[3] / "shared" / "data" / "terrain"
Shape = Callable[[FloatArray, FloatArray], FloatArray]


def write(path: Path, middle: Position, shape: Shape, *, half_m: float = 600.0) -> Path:
    """Write heights by metres east and north of a place, on 2 m cells, as a GeoTIFF."""
    count = round(half_m)
    steps = (np.arange(count, dtype=np.float64) + 0.5) * 2.0 - half_m
    heights = np.broadcast_to(shape(steps[None, :], -steps[:, None]), (count, count))
    with rasterio.open(
        path, "w", driver="GTiff", width=count, height=count, count=1, dtype="float32",
        crs=f"+proj=aeqd +lat_0={middle.latitude_deg} +lon_0={middle.longitude_deg} "
        "+datum=WGS84 +units=m",
        transform=from_origin(-half_m, half_m, 2.0, 2.0), nodata=-9999.0,
    ) as raster:  # fmt: skip
        raster.write(heights.astype(np.float32), 1)
    return path


def level(_east_m: FloatArray, _north_m: FloatArray) -> FloatArray:
    return np.full((1, 1), GROUND_M)


def grove(east_m: FloatArray, north_m: FloatArray) -> FloatArray:
    """Trees 22 m high, 30 to 120 m off toward the sunrise of November; open elsewhere."""
    away_m = np.hypot(east_m, north_m)
    bearing = np.degrees(np.arctan2(east_m, north_m)) % 360.0
    stands = (away_m > 30.0) & (away_m < 120.0) & (bearing > 80.0) & (bearing < 140.0)
    return np.where(stands, 22.0, 0.0)


@pytest.fixture
def grown(spots: Workbench, tmp_path: Path) -> Workbench:
    """Open the valley's book with level ground about the spot, and trees typed 6° high far off.

    Lower light would come in beneath the crowns of a narrow grove, as it does.
    """
    ring = tuple(Sight(azimuth_deg=float(one), altitude_deg=6.0) for one in range(0, 360, 30))
    spots.change_spot(SPOT, sights=ring, subject_position=None, under_canopy=False)
    middle = spots.spot(SPOT).position
    attach(spots, write(tmp_path / "ground.tif", middle, level), "ground")
    return spots


def attach(bench: Workbench, path: Path, kind: str) -> None:
    """Note a raster that need not reach the parking place."""
    raster_rows.attach(bench.book, "Pinnet Heath", RasterNote(kind=kind, path=str(path)))


def with_grove(bench: Workbench, folder: Path, shape: Shape = grove) -> Spot:
    spot = bench.spot(SPOT)
    path = write(folder / "crowns.tif", spot.position, shape)
    attach(bench, path, "canopy")
    return spot


def test_behind_a_grove_the_sun_comes_later_than_in_the_open(
    grown: Workbench, tmp_path: Path
) -> None:
    grown.skyline_from_ground(SPOT)
    (open_window,) = grown.light_on(SPOT, DAY).at_subject
    assert (open_window.beam_frac, open_window.beam_start_utc) == (1.0, None)
    with_grove(grown, tmp_path)
    report = grown.skyline_from_ground(SPOT)
    assert "crowns from crowns.tif dim the sun" in report.note
    (behind,) = grown.light_on(SPOT, DAY).at_subject
    assert behind.start_utc == open_window.start_utc
    assert behind.beam_frac < open_window.beam_frac
    assert behind.beam_start_utc is not None
    # The grove ends at 140°: by then the sun has gone round it.
    late = behind.beam_start_utc - open_window.start_utc
    assert np.timedelta64(20, "m") < late < np.timedelta64(4, "h")
    assert behind.beam_most_frac == pytest.approx(1.0)


def test_the_table_gives_what_the_march_gives_along_random_beams(
    grown: Workbench, tmp_path: Path
) -> None:
    from shivelight.intake.elevation import read_canopy, read_ground
    from shivelight.land.beams import Crowns, crown_path

    def rolling(east_m: FloatArray, north_m: FloatArray) -> FloatArray:
        return 18.0 + 4.0 * np.sin(east_m / 40.0) * np.cos(north_m / 55.0)

    spot = with_grove(grown, tmp_path, rolling)
    grown.skyline_from_ground(SPOT)
    kept = grown.crowns_of(spot)
    assert kept is not None
    table = canopy_over(spot, grown.wood_of(spot), at("2027-11-03T12:00"), kept=kept)
    assert isinstance(table, CrownTable)
    random = np.random.default_rng(5)
    azimuth_deg, altitude_deg = random.uniform(0, 360, 300), random.uniform(3.0, 80.0, 300)
    direct = crown_path(
        read_ground([tmp_path / "ground.tif"], around=spot.position),
        Crowns(
            heights=read_canopy([tmp_path / "crowns.tif"], around=spot.position),
            base_frac=float(kept.parameters["base_frac"]),
        ),
        position=spot.position, azimuth_deg=azimuth_deg, altitude_deg=altitude_deg,
        eye_height_m=spot.lens_height_m,
    )  # fmt: skip
    wanted = np.exp(-0.5 * table.leaf_area_per_m * direct.path_m)
    left = crown_beam_frac(table, azimuth_deg, altitude_deg)
    np.testing.assert_allclose(left, wanted, atol=0.05)
    assert np.abs(left - wanted).mean() < 0.01
    assert 0.05 < np.median(wanted) < 0.95  # neither all dark nor all open


def test_an_even_raster_dims_like_the_even_layer_of_its_stand(
    grown: Workbench, tmp_path: Path
) -> None:
    wood = grown.wood_of(grown.spot(SPOT))
    under = replace(grown.spot(SPOT), under_canopy=True)
    layer = canopy_over(under, wood, at("2027-07-01T12:00"))
    assert isinstance(layer, Canopy)
    spot = with_grove(grown, tmp_path, lambda _e, _n: np.full((1, 1), layer.top_height_m))
    grown.skyline_from_ground(SPOT)
    table = canopy_over(spot, wood, at("2027-07-01T12:00"), kept=grown.crowns_of(spot))
    assert isinstance(table, CrownTable)
    altitude_deg = np.linspace(5.0, 70.0, 40)
    np.testing.assert_allclose(
        crown_beam_frac(table, 100.0, altitude_deg),
        beam_through_frac(layer, altitude_deg),
        atol=0.01,
    )


def test_leaf_closes_in_summer_what_winter_leaves_open(grown: Workbench, tmp_path: Path) -> None:
    spot = with_grove(grown, tmp_path)
    grown.skyline_from_ground(SPOT)
    summer, winter = (
        canopy_over(spot, grown.wood_of(spot), at(f"2027-{day}T12:00"), kept=grown.crowns_of(spot))
        for day in ("07-01", "01-10")
    )
    assert isinstance(summer, CrownTable)
    assert isinstance(winter, CrownTable)
    assert summer.leaf_area_per_m > 1.5 * winter.leaf_area_per_m > 0.0


def test_trees_of_a_wood_noted_as_open_still_dim(grown: Workbench, tmp_path: Path) -> None:
    grown.change_wood("Pinnet Heath", stand="open")
    spot = with_grove(grown, tmp_path)
    grown.skyline_from_ground(SPOT)
    noon = at("2027-07-01T12:00")
    table = canopy_over(spot, grown.wood_of(spot), noon, kept=grown.crowns_of(spot))
    assert isinstance(table, CrownTable)
    assert table.leaf_area_per_m > 0.1


def test_a_surface_raster_does_where_there_is_no_canopy_raster(
    grown: Workbench, tmp_path: Path
) -> None:
    spot = with_grove(grown, tmp_path)
    grown.skyline_from_ground(SPOT)
    canopy = grown.crowns_of(spot)
    surface = write(
        tmp_path / "surface.tif", spot.position, lambda east, north: GROUND_M + grove(east, north)
    )
    notes = [
        RasterNote(kind="ground", path=str(tmp_path / "ground.tif")),
        RasterNote(kind="surface", path=str(surface)),
    ]
    again = crowns_from_rasters(
        notes, grown.wood_of(spot), spot.position, eye_height_m=spot.lens_height_m,
        seen_from="stand point", made_utc=grown.now_utc,
    )  # fmt: skip
    assert canopy is not None
    assert again is not None
    np.testing.assert_allclose(again.path_m, canopy.path_m, atol=0.05)
    assert again.parameters["kind"] == "surface"


def test_the_order_is_raster_then_stand_then_open(grown: Workbench, tmp_path: Path) -> None:
    wood, noon = grown.wood_of(grown.spot(SPOT)), at("2027-11-03T12:00")
    spot = with_grove(grown, tmp_path)
    assert grown.crowns_of(spot) is None
    assert canopy_over(spot, wood, noon, kept=grown.crowns_of(spot)) is None
    spot = grown.change_spot(SPOT, under_canopy=True)
    assert grown.spot(SPOT).under_canopy
    assert isinstance(canopy_over(spot, wood, noon, kept=grown.crowns_of(spot)), Canopy)
    grown.skyline_from_ground(SPOT)
    assert isinstance(canopy_over(spot, wood, noon, kept=grown.crowns_of(spot)), CrownTable)


def test_a_spot_that_has_moved_has_no_crowns_until_they_are_worked_out_again(
    grown: Workbench, tmp_path: Path
) -> None:
    spot = with_grove(grown, tmp_path)
    grown.skyline_from_ground(SPOT)
    there = destination(spot.position, azimuth_deg=250.0, distance_m=20.0)
    moved = grown.change_spot(SPOT, position=there)
    assert grown.crowns_of(moved) is None
    assert "has moved" in grown.skyline(SPOT).note
    grown.skyline_from_ground(SPOT)
    assert grown.crowns_of(moved) is not None


def test_the_subject_has_its_own_crowns(grown: Workbench, tmp_path: Path) -> None:
    spot = with_grove(grown, tmp_path)
    inside = destination(spot.position, azimuth_deg=110.0, distance_m=60.0)
    spot = grown.change_spot(SPOT, subject_position=inside)
    grown.skyline_from_ground(SPOT)
    here, there = (grown.crowns_of(spot, seen_from=one) for one in ("stand point", "subject"))
    assert here is not None
    assert there is not None
    column = ALTITUDES_DEG.index(60.0)
    assert here.path_m[:, column].max() == 0.0
    assert there.path_m[:, column].min() > 5.0


def test_a_canopy_raster_elsewhere_leaves_the_skyline_and_says_why(
    grown: Workbench, tmp_path: Path
) -> None:
    with_grove(grown, tmp_path)
    grown.skyline_from_ground(SPOT)
    away = destination(grown.spot(SPOT).position, azimuth_deg=0.0, distance_m=4000.0)
    write(tmp_path / "crowns.tif", away, grove)
    report = grown.skyline_from_ground(SPOT)
    assert "crowns were not worked out: crowns.tif does not cover the spot" in report.note
    assert report.origin == "both"
    assert grown.crowns_of(grown.spot(SPOT)) is None


def test_progress_tells_of_both_steps(grown: Workbench, tmp_path: Path) -> None:
    with_grove(grown, tmp_path)
    told: list[tuple[str, int, int]] = []
    grown.skyline_from_ground(SPOT, progress=lambda *step: told.append(step))
    assert told == [
        ("skyline of the stand point", 0, 2), ("crowns round the stand point", 1, 2),
        ("skyline", 2, 2),
    ]  # fmt: skip


def test_low_beams_that_leave_the_raster_are_named(grown: Workbench, tmp_path: Path) -> None:
    with_grove(grown, tmp_path)
    note = grown.skyline_from_ground(SPOT).note
    # 22 m of tree are passed under 2° at 590 m, where the raster ends.
    assert "below 3° some beams run off that raster" in note


def test_the_carpet_is_shade_where_crowns_hide_the_sun(grown: Workbench, tmp_path: Path) -> None:
    grown.skyline_from_ground(SPOT)
    bare = grown.season_carpet(SPOT, 2027)
    with_grove(grown, tmp_path)
    grown.skyline_from_ground(SPOT)
    behind = grown.season_carpet(SPOT, 2027)
    assert bare.beam_frac is None
    assert behind.beam_frac is not None
    hidden = (bare.state == SUN) & (behind.state == SHADE)
    assert hidden.any()
    np.testing.assert_array_equal(
        hidden, (bare.state == SUN) & (behind.beam_frac < LEAST_BEAM_FRAC)
    )
    row = DAY.timetuple().tm_yday - 1
    assert behind.first_sun_utc[row] > bare.first_sun_utc[row]


def test_a_judgement_counts_the_crowns_and_its_signs_name_them(book: Path, tmp_path: Path) -> None:
    with opened(book, "2027-11-02T21:40") as bench:
        bench.change_spot(
            SPOT, sights=(), subject_position=None, wishes=(parse_wish("direct light", must=True),)
        )
        middle = bench.spot(SPOT).position
        for one in bench.wood("Pinnet Heath").rasters:
            raster_rows.detach(bench.book, "Pinnet Heath", one.path)
        path = write(tmp_path / "level.tif", middle, level)
        attach(bench, path, "ground")
        bench.skyline_from_ground(SPOT)
        before = next(s for s in bench.judge(day=DAY)[0].spots if s.spot == SPOT)

        def belt(east_m: FloatArray, north_m: FloatArray) -> FloatArray:
            return np.where((np.hypot(east_m, north_m) > 10.0), 28.0, 0.0)

        with_grove(bench, tmp_path, belt)
        bench.skyline_from_ground(SPOT)
        after = next(s for s in bench.judge(day=DAY)[0].spots if s.spot == SPOT)
    assert before.chance_frac > 0.0
    assert after.chance_frac < before.chance_frac
    assert not any("crowns" in sign for sign in before.signs.against_it)
    assert any("crowns leave" in sign for sign in after.signs.against_it)


# Terrain of pycrown's example data, GPL-3, which stays outside the repository.
@pytest.mark.skipif(
    not (SHARED / "nz_pycrown" / "chm_1m.tif").exists(), reason="the shared rasters are not here"
)
def test_on_a_real_canopy_the_table_stands_for_the_march(tmp_path: Path) -> None:
    from shivelight.intake.elevation import read_canopy, read_ground
    from shivelight.land.beams import Crowns, crown_path
    from shivelight.land.ground import position_of

    folder = SHARED / "nz_pycrown"
    ground = read_ground([folder / "dtm_1m.tif"], around=None)
    heights = read_canopy([folder / "chm_1m.tif"], around=None)
    rows, columns = ground.heights_m.shape
    random = np.random.default_rng(11)
    misses = []
    for _ in range(4):
        row, column = random.uniform(0.3, 0.7, 2) * (rows, columns)
        spot = position_of(ground, float(row), float(column))
        azimuth = np.arange(0.0, 360.0, 2.0)
        crowns = Crowns(heights=heights, base_frac=0.3)
        made = crown_path(
            ground, crowns, position=spot, azimuth_deg=azimuth[:, None],
            altitude_deg=np.array(ALTITUDES_DEG), eye_height_m=1.4,
        )  # fmt: skip
        table = CrownTable(
            azimuth_deg=azimuth, altitude_deg=np.array(ALTITUDES_DEG), path_m=made.path_m,
            leaf_area_per_m=0.25,
        )  # fmt: skip
        at_deg = random.uniform(0, 360, 200), random.uniform(2.0, 60.0, 200)
        direct = crown_path(
            ground, crowns, position=spot, azimuth_deg=at_deg[0], altitude_deg=at_deg[1],
            eye_height_m=1.4,
        )  # fmt: skip
        misses.append(crown_beam_frac(table, *at_deg) - np.exp(-0.125 * direct.path_m))
    miss = np.abs(np.concatenate(misses))
    assert np.median(miss) < 0.02
    assert np.quantile(miss, 0.9) < 0.15
