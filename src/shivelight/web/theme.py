"""Which theme a page is written in: chosen by hand, else by the settings, else by the clock.

Dim is for before dawn: from midnight to sunrise at the first wood. It stands in the page before
the first paint, so nothing flashes white.
"""

import datetime as dt
from functools import lru_cache

from fastapi import Request

from shivelight.basis.instants import to_local
from shivelight.basis.places import Position
from shivelight.web.house import House
from shivelight.workbench.bench import Workbench

COOKIE = "shivelight-theme"
THEMES = ("paper", "dim", "clock")
KEPT_S = 400 * 86_400
"""As long as browsers keep a cookie at most (RFC 6265bis, from memory). [s]"""
EARLY = dt.time(8, 0)
"""Paper from here on where no wood says when the sun rises. A judgement."""


def theme_asked(request: Request, house: House) -> str:
    """Theme that was asked for: by hand in this browser, else by the settings.

    Returns
    -------
    {"paper", "dim", "clock"}
    """
    chosen = request.cookies.get(COOKIE, "")
    return chosen if chosen in THEMES else house.settings.theme


def is_before_dawn(bench: Workbench) -> bool:
    """Whether it is between midnight and sunrise at the first wood."""
    zone_name = bench.zone_of()
    wall = to_local(bench.now_utc, zone_name)
    if wall.hour >= 12:
        return False
    parking = bench.first_parking()
    sunrise = _sunrise(parking, wall.date(), zone_name) if parking else EARLY
    return wall.time() < sunrise


@lru_cache(maxsize=16)
def _sunrise(place: Position, day: dt.date, zone_name: str) -> dt.time:
    sun = Workbench.sun_on(place, day, zone_name)
    if sun.sunrise_utc is None:
        return EARLY
    return to_local(sun.sunrise_utc, zone_name).time()
