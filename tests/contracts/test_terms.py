"""A float in a public signature or value carries its unit in its name (STYLE 2.2).

Read from the source, so that no room has to be imported: parameters of public functions and
fields of public classes in the rooms that compute. What bears no unit is listed with why: for
every file, or, where the name is a common word, for one.
"""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2] / "src" / "shivelight"
ROOMS = (
    "basis", "sky", "land", "wood", "air", "light", "scene", "frames", "outing", "intake",
    "workbench",
)  # fmt: skip
FLOATS = {"float", "float | None", "FloatArray", "FloatArray | None"}
UNITS = (
    "_m", "_mm", "_km", "_px", "_deg", "_rad", "_s", "_h", "_min", "_d", "_mps", "_degc", "_k",
    "_hpa", "_ev", "_lux", "_frac",
    # units that only one formula needs, written out of the same parts
    "_nt", "_kgm3", "_jm2", "_jkgk", "_cd_s_m2", "_mm_per_h", "_frac_per_day", "_degc_per_h",
    "_k_per_h", "_mm_h",
    # of an oval of errors; widths of the frame (a focal length, a place on the image)
    "_m2", "_widths",
)  # fmt: skip
NO_UNIT = {
    "area over area": ("_area_index", "leaf_area_index"),
    "natural logarithm of odds": ("_log_odds", "_logit", "logit", "log_odds"),
    "a skill, weight or window of a fit, a pure number": (
        "_skill",
        "_shift",
        "_share",
        "share",
        "weights",
        "_window",
    ),
    "standard normal draws": ("wander", "_wander", "normal", "standard"),
    "engraved as a bare number": ("f_number", "_f_number"),
    "tangent of an altitude or a gap": ("tangent", "tangents", "_tangent", "_tan"),
}
"""Endings that need no unit, by reason."""
BARE = {
    "limit or value of whatever is checked": {"low", "high", "value", "values"},
    "place on a raster's axes": {"row", "column", "error_cells"},
    "what an overlap is worth, minutes weighed by chance": {"worth"},
    "mean number of wishes": {"would_like_met"},
    "a count or day of the calendar": {"count", "day_of_year", "year", "size"},
    "minutes, and named so": {"minutes"},
    "seconds, and named so": {"seconds"},
    "chance of 0 to 1 inside a module of chances": {"chance", "base"},
    "sine, clumping, extinction, projection: pure numbers of the canopy and daylight formulae": {
        "sine", "clumping", "extinction", "projection", "sky_divisor",
    },
    "coefficients and design rows of the fitted mist model": {
        "fog", "mist", "fog_now", "mist_now", "lift", "terms", "term_means", "window",
        "other_window", "hourly", "position", "pieces", "declination", "place",
    },
    "intercept and slope of a shift of log-odds, with variances": {
        "a", "b", "var_a", "var_b", "cov_ab", "level_sd", "slope_sd",
    },
    "a count of mornings, weighed": {"mornings"},
    "a ratio": {"metres_per_unit", "ways"},
    "whatever it steps through": {"by_step"},
    "radial distortion of a lens, a pure number of its formula": {"k1", "k2"},
    "in standard errors, or how many times as large": {"times_doubt", "grows_times", "ratio"},
}  # fmt: skip
"""Whole names that need no unit, by reason."""
BARE_IN = {
    "frames/depths.py": {
        "in steps between the two cameras, whose length is not known there": {
            "points", "noise", "by_pose",
        },
    },
    "frames/pose.py": {
        "a rotation, a direction, and seven numbers of several kinds with their covariance": {
            "turn", "step", "by", "covariance",
        },
    },
    "frames/mistfit.py": {
        "linear light, 1 for white, and the brightest over the dimmest of it": {
            "airlight", "unevenness",
        },
    },
    "frames/quality.py": {
        "tones of a picture, 0 to 255, and fine over middling detail": {
            "bright_tone", "spread_tone", "fineness",
        },
    },
    "scene/_cast_kernel.py": {
        "directions, and places on the image for each metre forward": {
            "ray", "axis", "axes", "x", "y", "sun", "ground",
        },
        "luminance as a share of the even sky's, with the numbers that it is made by": {
            "light", "air",
        },
        "nine numbers of a piece, by its kind": {"numbers"},
    },
    "scene/_misfits.py": {"misfits in standard errors": {"squares", "whitener"}},
    "scene/_wish_boxes.py": {
        "an outline: bearings in radians, slants and tangents": {"edges"},
        "sine and cosine of bearings, tangents of altitudes": {"corners"},
        "wishes of several kinds, told where they are named": {"numbers"},
    },
    "scene/framing.py": {"whatever it steps through": {"less", "more", "step"}},
    "scene/from_pair.py": {"of a pose's seven numbers, of several kinds": {"covariance"}},
    "scene/pair_gaps.py": {
        "an outline: bearings in radians, slants and tangents": {"edges", "one", "other"},
    },
    "scene/raycast.py": {"luminance as a share of the even sky's": {"tone"}},
    "scene/resection.py": {"metres or degrees, as the field beside it says": {"off"}},
    "scene/silhouettes.py": {
        "an outline: bearings in radians, slants and tangents": {"edges", "slant"},
    },
}  # fmt: skip
"""Whole names that need no unit in one file, by reason."""
BARE_NAMES = frozenset().union(*BARE.values())
FREE_ENDINGS = tuple(ending for endings in NO_UNIT.values() for ending in endings)
REFUSED = ("_ms", "_pct", "_percent", "_percents", "_degf", "_feet", "_mph")


def _files() -> list[Path]:
    return sorted(path for room in ROOMS for path in (ROOT / room).rglob("*.py"))


def _float_names(source: str) -> Iterator[str]:
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
            for one in (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs):
                if one.annotation and ast.unparse(one.annotation) in FLOATS:
                    yield one.arg
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            for line in node.body:
                if (
                    isinstance(line, ast.AnnAssign)
                    and isinstance(line.target, ast.Name)
                    and ast.unparse(line.annotation) in FLOATS
                ):
                    yield line.target.id


def _is_named_well(name: str) -> bool:
    return name in BARE_NAMES or name.endswith(UNITS) or name.endswith(FREE_ENDINGS)


def _bare_in(path: Path) -> set[str]:
    return set().union(*BARE_IN.get(str(path.relative_to(ROOT)), {}).values())


@pytest.mark.parametrize("path", _files(), ids=lambda path: str(path.relative_to(ROOT)))
def test_every_float_carries_its_unit(path: Path) -> None:
    names = set(_float_names(path.read_text(encoding="utf-8")))
    unnamed = {name for name in names if not _is_named_well(name)}
    assert sorted(unnamed - _bare_in(path)) == []


@pytest.mark.parametrize("path", _files(), ids=lambda path: str(path.relative_to(ROOT)))
def test_no_name_ends_in_a_unit_that_we_refuse(path: Path) -> None:
    names = set(_float_names(path.read_text(encoding="utf-8")))
    assert sorted(name for name in names if name.endswith(REFUSED)) == []


@pytest.mark.parametrize("file", sorted(BARE_IN))
def test_what_is_listed_for_one_file_is_there_and_needs_it(file: str) -> None:
    names = set(_float_names((ROOT / file).read_text(encoding="utf-8")))
    unnamed = {name for name in names if not _is_named_well(name)}
    assert sorted(_bare_in(ROOT / file) - unnamed) == []


def test_the_reader_of_names_sees_a_missing_unit() -> None:
    """The check itself can fail: a bare height and a wind in miles are both seen."""
    source = "def rise(height: float, wind_mph: float, top_m: float) -> None: ...\n"
    names = set(_float_names(source))
    assert names == {"height", "wind_mph", "top_m"}
    assert {name for name in names if not _is_named_well(name)} == {"height", "wind_mph"}
