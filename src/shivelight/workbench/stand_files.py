"""Pictures of stands as files: SVG, and PNG for the frame."""

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from shivelight.basis.errors import BadInputError, MissingDataError
from shivelight.workbench.keeping import write_whole

if TYPE_CHECKING:
    from shivelight.workbench.bench import Workbench
    from shivelight.workbench.stand_found import StandFound

WHAT = ("ruler", "plan", "frame", "mark")


def write_frame(bench: "Workbench", found: "StandFound", path: Path) -> Path:
    """Write the frame at the best stand that was found, by the ending of the file's name.

    Raises
    ------
    MissingDataError
        If there is no stand to draw.
    BadInputError
        For an ending that is neither .svg nor .png.
    """
    best = found.answer.best
    if best is None:
        raise MissingDataError("There is no stand to draw: all ground within reach is closed.")
    _require_ending(path, ".svg", ".png")
    if path.suffix.lower() == ".png":
        write_whole(path, bench.frame_png(found.spot, best.camera))
    else:
        write_whole(path, bench.frame_picture(found.spot, best.camera))
    return path


def write_stand_picture(
    bench: "Workbench",
    spot: str,
    what: str,
    *,
    out: Path,
    right_m: float = 0.0,
    forward_m: float = 0.0,
    mist_range_m: float | None = None,
) -> Path:
    """Write one drawing of a spot's stand point.

    Parameters
    ----------
    bench : Workbench
        Open.
    spot : str
        Which spot.
    what : {"ruler", "plan", "frame", "mark"}
        Which drawing.
    out : Path
        Where to.
    right_m, forward_m : float
        Where the lens is, for the frame. [m]
    mist_range_m : float, optional
        Optical range, for the frame. [m]

    Raises
    ------
    BadInputError
        For another drawing or ending.
    """
    if what not in WHAT:
        raise BadInputError(f"{what!r} is not one of: {', '.join(WHAT)}.")
    _require_ending(out, ".svg", *((".png",) if what == "frame" else ()))
    if what == "frame":
        start = bench.camera_at(spot)
        lift_m = bench.kept_survey(spot).survey.slope.height_m(right_m, forward_m)
        camera = replace(start, x_m=right_m, y_m=forward_m, z_m=start.z_m + lift_m)
        if out.suffix.lower() == ".png":
            write_whole(out, bench.frame_png(spot, camera, mist_range_m=mist_range_m))
        else:
            drawn = bench.frame_picture(spot, camera, mist_range_m=mist_range_m)
            write_whole(out, drawn)
    elif what == "mark":
        write_whole(out, bench.mark_picture(spot, style="paper"))
    elif what == "ruler":
        write_whole(out, bench.ruler_drawing(spot, style="paper"))
    else:
        write_whole(out, bench.plan_drawing(bench.find_stand(spot), style="paper"))
    return out


def write_stair(bench: "Workbench", spot: str, optical_range_m: float, *, out: Path) -> Path:
    """Write the layer stair of a spot: as paced, and in the mist that parts its layers best.

    Raises
    ------
    BadInputError
        For an ending other than .svg.
    """
    _require_ending(out, ".svg")
    best_m = bench.layers(spot, optical_range_m).best_m
    ranges = tuple(dict.fromkeys((optical_range_m, round(best_m))))
    write_whole(out, bench.stair_drawing(spot, ranges))
    return out


def _require_ending(path: Path, *endings: str) -> None:
    if path.suffix.lower() not in endings:
        raise BadInputError(f"{path.name} should end in {' or '.join(endings)}.")
