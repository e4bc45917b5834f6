"""Where in a year the sun stands as a spot's wishes want it: clouds, mist and wind apart.

The same limits as in ``outing.overlap``, which asks them of one morning with its air.
"""

import datetime as dt
from collections.abc import Iterable, Sequence

import numpy as np

from shivelight.basis.arrays import BoolArray
from shivelight.light.reach import BACK_WITHIN_DEG
from shivelight.light.year import SUN, TWILIGHT, Carpet
from shivelight.outing.wishes import Wish, WishKind

OF_THE_SUN = frozenset({WishKind.LIGHT, WishKind.FACING, WishKind.SUN})
OF_THE_DAY = frozenset({WishKind.LEAF, WishKind.SEASON})


def counted(wishes: Sequence[Wish]) -> tuple[Wish, ...]:
    """Wishes that have to hold at once: the musts, or all of a spot that has none."""
    return tuple(one for one in wishes if one.must) or tuple(wishes)


def wanted_sun(carpet: Carpet, wishes: Sequence[Wish], *, leaf: Sequence[str]) -> BoolArray | None:
    """Cells of a carpet in which the sun is as the wishes that count want it.

    Parameters
    ----------
    carpet : Carpet
        The spot's year.
    wishes : sequence of Wish
        All of the spot's.
    leaf : sequence of str
        Usual leaf stage of each day of the carpet.

    Returns
    -------
    ndarray of bool, shape (D, T), or None
        None where no wish asks for direct light, a side of it or a height of the sun. Soft light
        comes at any time of day under cloud, so it limits nothing here.
    """
    needed = [one for one in counted(wishes) if one.kind in OF_THE_SUN and not _is_soft(one)]
    if not needed:
        return None
    met = carpet.state >= TWILIGHT
    for wish in needed:
        met = met & _holds(wish, carpet)
    return np.asarray(met & wanted_days(carpet, wishes, leaf=leaf)[:, None], dtype=np.bool_)


def wanted_days(carpet: Carpet, wishes: Sequence[Wish], *, leaf: Sequence[str]) -> BoolArray:
    """Days of a carpet on which its wishes for a season and for the leaf hold in a usual year.

    Parameters as :func:`wanted_sun`; shape (D,).
    """
    good = np.ones(carpet.days.size, dtype=np.bool_)
    for wish in counted(wishes):
        if wish.kind is WishKind.SEASON:
            good &= np.array([wish.in_season(day) for day in _dates(carpet)])
        elif wish.kind is WishKind.LEAF:
            good &= np.isin(np.array(leaf), wish.choices)
    return good


def asks_of_the_day(wishes: Sequence[Wish]) -> bool:
    """Whether any wish that counts limits the days of the year."""
    return any(one.kind in OF_THE_DAY for one in counted(wishes))


def _is_soft(wish: Wish) -> bool:
    return wish.kind is WishKind.LIGHT and "soft" in wish.choices


def _holds(wish: Wish, carpet: Carpet) -> BoolArray:
    if wish.kind is WishKind.SUN:
        low = -90.0 if wish.low is None else wish.low
        high = 90.0 if wish.high is None else wish.high
        return np.asarray((carpet.altitude_deg >= low) & (carpet.altitude_deg <= high))
    sunny = carpet.state == SUN
    if wish.kind is WishKind.LIGHT:
        return np.asarray(sunny)
    off = carpet.off_view_deg
    back, front = off <= BACK_WITHIN_DEG, off >= 180.0 - BACK_WITHIN_DEG
    sides = {"back": back, "front": front, "side": ~back & ~front}
    chosen = np.logical_or.reduce([sides[one] for one in wish.choices])
    return np.asarray(sunny & chosen, dtype=np.bool_)


def _dates(carpet: Carpet) -> Iterable[dt.date]:
    dates: list[dt.date] = carpet.days.astype("datetime64[D]").tolist()
    return dates
