"""Skyline of one spot, 2000 x 2000 cells of 5 m, 720 bearings: ours, plain NumPy, GRASS.

Run: ``python benchmarks/skyline.py``. Prints CPU times of one run (one thread
each), ratios and differences. GRASS
(Debian's grass-core) is used when its ``grass`` command is there.
"""

import math
import shutil
import subprocess
import tempfile
import time
import warnings
from collections.abc import Callable
from pathlib import Path

import numpy as np

from shivelight.basis.arrays import FloatArray
from shivelight.basis.places import Position
from shivelight.land.curvature import STANDARD_CURVE, EarthCurve
from shivelight.land.ground import Ground, height_at_m, position_of
from shivelight.land.march import LEAST_STEP_M, MOST_FINER, NEAR_STEP_FRAC, STEPS_IN_BLOCK, march
from shivelight.land.rays import farthest_corner_m, local_map, ray_polynomials

CELLS, CELL_M, EYE_M = 2000, 5.0, 1.6
SPOT = (1003, 987)
BEARINGS = np.arange(0.0, 360.0, 0.5)


def hills() -> Ground:
    """Invented relief of about 300 m, rough at every scale, on a UTM central meridian.

    The spot lies on a level clearing of 150 m: r.horizon's eye lies on the ground, and on a
    slope it would see nothing but which of the eight next cells is the highest.
    """
    random = np.random.default_rng(7)
    wave = np.hypot(*np.meshgrid(np.fft.fftfreq(CELLS), np.fft.rfftfreq(CELLS), indexing="ij"))
    wave[0, 0] = np.inf
    noise = random.normal(size=(2, *wave.shape))
    heights = np.fft.irfft2((noise[0] + 1j * noise[1]) * wave**-2.1, s=(CELLS, CELLS))
    heights = (heights - heights.min()) * (300.0 / np.ptp(heights))
    row, column = np.mgrid[0:CELLS, 0:CELLS]
    clearing = np.hypot(row - SPOT[0], column - SPOT[1]) < 150.0 / CELL_M
    heights[clearing] = heights[SPOT]
    half = CELL_M * (CELLS - 1) / 2
    return Ground(
        heights_m=heights.astype(np.float32),
        affine=(CELL_M, 0.0, 500_000.0 - half, 0.0, -CELL_M, 5_872_000.0 + half),
        crs_wkt="EPSG:32631",
    )


def by_numpy(ground: Ground, position: Position, curve: EarthCurve, eye_m: float) -> FloatArray:
    """March every ray at the same samples, all of a ray at once, with no blocks passed over."""
    high_m = height_at_m(ground, position) + eye_m
    reach_m = farthest_corner_m(ground, position)
    chart = local_map(ground, position, reach_m=reach_m)
    rows, columns = ray_polynomials(chart, BEARINGS)
    flat, wide = ground.heights_m.ravel(), ground.heights_m.shape[1]
    tangents = np.empty(BEARINGS.size)
    for ray in range(BEARINGS.size):
        cells = math.hypot(rows[ray].sum() - chart.row, columns[ray].sum() - chart.column)
        distance = _distances(0.5 * reach_m / cells, reach_m)
        share = distance / reach_m
        row = np.polynomial.polynomial.polyval(share, rows[ray])
        column = np.polynomial.polynomial.polyval(share, columns[ray])
        inside = (row >= 0) & (row < CELLS - 1) & (column >= 0) & (column < CELLS - 1)
        upto = row.size if inside.all() else int(np.argmin(inside))
        row, column, distance = row[:upto], column[:upto], distance[:upto]
        top, left = row.astype(np.int64), column.astype(np.int64)
        down, right = row - top, column - left
        first = top * wide + left
        upper = flat[first] + (flat[first + 1] - flat[first]) * right
        lower = flat[first + wide] + (flat[first + wide + 1] - flat[first + wide]) * right
        height = upper + (lower - upper) * down
        tangents[ray] = ((height - high_m) / distance - curve.bend_per_m * distance).max()
    return np.degrees(np.arctan(tangents))


def _distances(step_m: float, reach_m: float) -> FloatArray:
    count = int(reach_m / step_m + 1e-9)
    parts = []
    for start in range(0, count, STEPS_IN_BLOCK):
        allowed_m = max(LEAST_STEP_M, NEAR_STEP_FRAC * start * step_m)
        finer = int(min(math.ceil(step_m / allowed_m), MOST_FINER))
        steps = min(STEPS_IN_BLOCK, count - start)
        parts.append(start + np.arange(1, steps * finer + 1) / finer)
    return np.concatenate(parts) * step_m


def by_grass(ground: Ground, row: int, column: int) -> tuple[FloatArray, float, float] | None:
    """r.horizon in point mode: heights in degrees, CPU seconds whole and with two bearings."""
    if shutil.which("grass") is None:
        return None
    import rasterio  # noqa: PLC0415  only to hand the raster over
    from rasterio.transform import Affine  # noqa: PLC0415

    a, b, c, d, e, f = ground.affine
    x, y = a * column + c, e * row + f
    with tempfile.TemporaryDirectory() as folder, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        tif = Path(folder) / "hills.tif"
        with rasterio.open(
            tif, "w", driver="GTiff", height=CELLS, width=CELLS, count=1, dtype="float32",
            crs=ground.crs_wkt, transform=Affine(a, b, c - a / 2, d, e, f - e / 2),
        ) as data:  # fmt: skip
            data.write(ground.heights_m, 1)
        script = Path(folder) / "run.py"
        script.write_text(_IN_GRASS.format(tif=tif, x=x, y=y))
        ran = subprocess.run(
            ["grass", "--tmp-location", str(tif), "--exec", "python3", str(script)],
            capture_output=True, text=True, check=True, timeout=600,
        )  # fmt: skip
    lines = [line.split(",") for line in ran.stdout.splitlines() if line.count(",") == 1]
    spent = {name: float(value) for name, value in lines if name in {"whole", "least"}}
    found = {float(name): float(value) for name, value in lines if name[:1].isdigit()}
    # r.horizon counts from east, counter-clockwise.
    heights = np.array([found[(90.0 - bearing) % 360.0] for bearing in BEARINGS])
    return heights, spent["whole"], spent["least"]


_IN_GRASS = """
import resource, subprocess
def run(*words):
    before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime
    text = subprocess.run(words, capture_output=True, text=True, check=True).stdout
    return text, resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime - before
run("r.in.gdal", "-o", "--quiet", "input={tif}", "output=hills")
run("g.region", "raster=hills")
ask = ("r.horizon", "--quiet", "-d", "elevation=hills", "coordinates={x},{y}")
whole = [run(*ask, "step=0.5") for _ in range(5)]
least = [run(*ask, "step=359") for _ in range(5)]
print(whole[0][0])
print("whole,%f" % min(one for _, one in whole))
print("least,%f" % min(one for _, one in least))
"""


def by_nearest_cells(ground: Ground, row: int, column: int) -> FloatArray:
    """Nearest-cell march over every cell with no short cuts: what r.horizon sets out to do."""
    heights, high_m = ground.heights_m, float(ground.heights_m[row, column])
    out = np.arange(1.0, 1.5 * CELLS)
    found = np.empty(BEARINGS.size)
    for ray, bearing in enumerate(np.radians(BEARINGS)):
        rows = np.round(row - out * np.cos(bearing)).astype(np.int64)
        columns = np.round(column + out * np.sin(bearing)).astype(np.int64)
        inside = (rows >= 0) & (rows < CELLS) & (columns >= 0) & (columns < CELLS)
        rows, columns = rows[inside], columns[inside]
        distance = np.hypot(rows - row, columns - column) * CELL_M
        bend = EarthCurve(refraction_frac=0.0).bend_per_m
        found[ray] = ((heights[rows, columns] - high_m) / distance - bend * distance).max()
    return np.degrees(np.arctan(found))


def best_of(times: int, run: Callable[[], object]) -> float:
    spent = []
    for _ in range(times):
        begin = time.process_time()
        run()
        spent.append(time.process_time() - begin)
    return min(spent)


def main() -> None:
    ground = hills()
    position = position_of(ground, *SPOT)

    def ours(over: Ground, curve: EarthCurve = STANDARD_CURVE, eye_m: float = EYE_M) -> FloatArray:
        tangent, _, _ = march(
            over, position, eye_height_m=eye_m, azimuth_deg=BEARINGS, reach_m=None, curve=curve
        )
        return np.degrees(np.arctan(tangent))

    ours(ground)  # compile, or load what was compiled
    fresh = [
        Ground(heights_m=ground.heights_m, affine=ground.affine, crs_wkt=ground.crs_wkt)
        for _ in range(5)
    ]
    first_s = min(best_of(1, lambda one=one: ours(one)) for one in fresh)  # type: ignore[misc]
    again_s = best_of(9, lambda: ours(ground))
    numpy_s = best_of(2, lambda: by_numpy(ground, position, STANDARD_CURVE, EYE_M))
    off = np.abs(ours(ground) - by_numpy(ground, position, STANDARD_CURVE, EYE_M))
    print(
        f"skyline of one spot, {CELLS} x {CELLS} cells of {CELL_M:g} m, {BEARINGS.size} bearings"
    )
    print(f"  ours, first spot on a raster   {first_s * 1e3:8.1f} ms")
    print(f"  ours, further spots            {again_s * 1e3:8.1f} ms")
    print(f"  NumPy march, same samples      {numpy_s * 1e3:8.1f} ms")
    print(f"  ratio: {numpy_s / first_s:.0f} first, {numpy_s / again_s:.0f} further")
    print(f"  largest difference to NumPy    {off.max():.6f}°")
    grass = by_grass(ground, *SPOT)
    if grass is None:
        print("  GRASS is not here: not compared")
        return
    heights, whole_s, least_s = grass
    mine = ours(ground, EarthCurve(refraction_frac=0.0), 0.0)
    nearest = by_nearest_cells(ground, *SPOT)
    # The command also starts up and reads its raster, so no ratio of the marches can be given.
    print(f"  GRASS r.horizon, whole command {whole_s * 1e3:8.1f} ms with start-up and reading")
    print(f"    with two bearings only       {least_s * 1e3:8.1f} ms")
    print("  eye on the ground, no refraction; median, 95 in 100 under, most:")
    for what, one, other in (
        ("ours from r.horizon", mine, heights),
        ("ours from a nearest-cell march", mine, nearest),
        ("r.horizon from that march", heights, nearest),
    ):
        apart = np.abs(one - other)
        low, high = np.percentile(apart, [50, 95])
        print(f"    {what:31s} {low:.3f}° {high:.3f}° {apart.max():.3f}°")


if __name__ == "__main__":
    main()
