"""Small made-up mornings for tests of the overlap and the choice."""

from typing import Any

import numpy as np

from shivelight.basis.arrays import BoolArray, FloatArray
from shivelight.light.reach import SunTrack
from shivelight.outing.conditions import Conditions
from shivelight.outing.overlap import Place
from shivelight.outing.wishes import LEAF_STAGES, Wish, parse_wish
from shivelight.outing.woods import MistHabit

START = np.datetime64("2027-11-03T06:00", "us")


def conditions(members: int = 4, instants: int = 24, **changes: Any) -> Conditions:
    """Clear, still, dry and mild, unless something is changed."""
    shape = (members, instants)
    usual: dict[str, Any] = {
        "utc": START + np.arange(instants) * np.timedelta64(300, "s"),
        "optical_range_m": np.full(shape, 20_000.0),
        "clear_range_m": np.full(shape, 20_000.0),
        "hill_fog": np.zeros(shape, dtype=np.bool_),
        "fog_top_wander": np.zeros(members),
        "cloud_cover_frac": np.zeros(shape),
        "sun_unclouded": np.ones(shape, dtype=np.bool_),
        "leaf_wind_mps": np.zeros(shape),
        "wind_speed_mps": np.ones(shape),
        "gust_mps": np.full(shape, 2.0),
        "air_state": np.zeros(shape, dtype=np.int64),
        "floor_temperature_degc": np.full(shape, 6.0),
        "spread_k": np.full(shape, 1.0),
        "wet": np.zeros(shape, dtype=np.bool_),
        "raining": np.zeros(shape, dtype=np.bool_),
        "leaf_stage": np.full(members, LEAF_STAGES.index("bare"), dtype=np.int64),
    }
    return Conditions(**(usual | changes))


def sun(instants: int = 24, **changes: Any) -> SunTrack:
    """Put the sun 5° up, past the skyline, straight into the lens."""
    usual: dict[str, Any] = {
        "altitude_deg": np.full(instants, 5.0),
        "azimuth_deg": np.full(instants, 120.0),
        "past_skyline": np.ones(instants, dtype=np.bool_),
        "disc_frac": np.ones(instants),
        "off_view_deg": np.zeros(instants),
        "in_frame": np.ones(instants, dtype=np.bool_),
        "beam_frac": np.ones(instants),
        "skyline_assumed": False,
    }
    return SunTrack(**(usual | changes))


def place(*musts: str, likes: tuple[str, ...] = (), **habit: Any) -> Place:
    """Make a spot 100 m up with wishes in words."""
    return Place(
        ground_height_m=100.0, habit=MistHabit(**habit), wishes=wishes(*musts, likes=likes)
    )


def wishes(*musts: str, likes: tuple[str, ...] = ()) -> tuple[Wish, ...]:
    return (
        *(parse_wish(text, must=True) for text in musts),
        *(parse_wish(text, must=False) for text in likes),
    )


def between(first: int, last: int, *, members: int, instants: int) -> BoolArray:
    """Fill True from step ``first`` to before ``last`` for every member."""
    holds = np.zeros((members, instants), dtype=np.bool_)
    holds[:, first:last] = True
    return holds


def ranges(rows: list[list[float]]) -> FloatArray:
    return np.array(rows, dtype=np.float64)
