"""How one wish stands as things were found: now, later, no more, or not known.

Times are spans in seconds from the moment of looking. A wish has likely spans, by middle values,
and possible ones, by the latest (mist is gone in 5 and in 9 of 10 cases); it certainly fails only
where no possible span is left.
"""

import math
from dataclasses import dataclass

from shivelight.basis.instants import to_local
from shivelight.outing.arrive_scene import MIST_RANGE_M, Scene
from shivelight.outing.arrive_spans import ALWAYS, Spans, both, outside
from shivelight.outing.overlap import CLEAR_AIR_FROM_M, FIRST_LIGHT_DEG, HOAR_HOLDS_MIN
from shivelight.outing.wishes import Wish, WishKind

LULL_FRAC = 0.5
"""Share of stirring air that a wish for still air can use: the lulls. A judgement."""
BROKEN_FRAC = 0.5
"""Share of a window of direct light under a broken sky. A judgement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """How one wish stands.

    Attributes
    ----------
    wish : Wish
        Which.
    likely, possible : spans
        When it holds by middle values, and when it may. [s]
    share_frac : float
        Share of that time that can be used (lulls, breaks in the cloud).
    known : bool
        False when what it wants was not seen and not expected.
    said : str
        What holds, in a word or two.
    lack : str
        Why it fails where it does.
    """

    wish: Wish
    likely: Spans
    possible: Spans
    share_frac: float = 1.0
    known: bool = True
    said: str
    lack: str = ""


def stands(wish: Wish, scene: Scene) -> Standing:
    """Say how a wish stands in a scene."""
    return _BY_KIND.get(wish.kind, _plain)(wish, scene)


def _mist(wish: Wish, scene: Scene) -> Standing:
    found = scene.answers.mist
    thick_m, thin_m = MIST_RANGE_M[found]
    low_m, high_m = wish.low or 0.0, wish.high or 0.0
    likely_s, late_s = scene.lifted_s
    if high_m > CLEAR_AIR_FROM_M:  # air so clear will do as well
        likely_s = late_s = math.inf
    gone = "gone before one is there"
    if high_m <= thick_m:
        return _failing(wish, "mist" if found == "none" else wish.words, f"{found} here")
    if low_m < thin_m:
        said = {"none": wish.words, "wisps": "wisps"}.get(found, f"{found} mist")
        return Standing(
            wish=wish, likely=((-math.inf, likely_s),), possible=((-math.inf, late_s),), said=said,
            lack=gone,
        )  # fmt: skip
    # Thicker than wished. It thins before it goes; when, nobody knows: taken as the last half
    # of the time that is left, a judgement, and an hour where no end is known.
    thins_s = likely_s / 2.0 if math.isfinite(likely_s) else 3600.0
    return Standing(
        wish=wish,
        likely=((thins_s, likely_s),),
        possible=((0.0, late_s),),
        said="mist thinning",
        lack=gone,
    )


def _clear_air(wish: Wish, scene: Scene) -> Standing:
    if scene.answers.mist == "none":
        return _always(wish, "clear air")
    likely_s, _ = scene.lifted_s
    early_s = max((scene.after_s(moment) for moment in scene.spot.lifts_utc[:1]), default=0.0)
    return Standing(
        wish=wish,
        likely=both(((likely_s, math.inf),), ALWAYS),
        possible=((max(early_s, 0.0), math.inf),),
        said="clear air",
    )


def _light(wish: Wish, scene: Scene) -> Standing:
    sky = scene.answers.light
    facings = wish.choices if wish.kind is WishKind.FACING else ()
    direct = scene.direct(facings)
    soft = wish.kind is WishKind.LIGHT and "soft" in wish.choices
    if soft:
        daylight = scene.sun_within(FIRST_LIGHT_DEG, 90.0) if scene.spot.sun_utc.size else ALWAYS
        shaded = daylight if "direct" in wish.choices else both(daylight, outside(direct))
        return Standing(wish=wish, likely=shaded, possible=shaded, said="soft light",
                        lack="none from here on")  # fmt: skip
    return Standing(
        wish=wish,
        likely=direct,
        possible=direct,
        share_frac=BROKEN_FRAC if sky == "broken" else 1.0,
        said=wish.words if wish.kind is WishKind.FACING else "direct light",
        lack="overcast here" if sky == "overcast" else _why_dark(scene, facings),
    )


def _why_dark(scene: Scene, facings: tuple[str, ...]) -> str:
    """Why no direct light is left, under a sky that has sun in it."""
    fit = [window for window in scene.spot.light if not facings or window.facing in facings]
    if not fit:
        return "none today"
    ahead = any(scene.after_s(window.end_utc) > 0.0 for window in fit)
    return "the mist holds it back" if ahead and not scene.direct(facings) else "over for today"


def _sun(wish: Wish, scene: Scene) -> Standing:
    said = f"sun at {wish.low:g} to {wish.high:g}°"
    if not scene.spot.sun_utc.size:
        return Standing(wish=wish, likely=ALWAYS, possible=ALWAYS, known=False, said=said)
    spans = scene.sun_within(wish.low or 0.0, 90.0 if wish.high is None else wish.high)
    return Standing(wish=wish, likely=spans, possible=spans, said=said, lack="not from here on")


def _air(wish: Wish, scene: Scene) -> Standing:
    found = scene.answers.air
    if found in wish.choices:
        return _always(wish, f"{found} air")
    if found == "stirring" and "still" in wish.choices:
        return Standing(
            wish=wish, likely=ALWAYS, possible=ALWAYS, share_frac=LULL_FRAC, said="lulls"
        )
    return _failing(wish, wish.words, f"{found} here")


def _ground(wish: Wish, scene: Scene) -> Standing:
    states = scene.states
    if not states:
        return Standing(wish=wish, likely=ALWAYS, possible=ALWAYS, known=False, said="ground")
    met = states & set(wish.choices)
    if not met:
        found = scene.answers.ground
        lack = f"{found} here" if found else f"{scene.spot.ground} expected"
        noun = " ground" if set(wish.choices) <= {"wet", "dry"} else ""
        return _failing(wish, " or ".join(wish.choices) + noun, lack)
    said = "hoar" if "hoar" in met else sorted(met)[0]
    if met - {"frost", "hoar"}:  # wet and dry stay; frost and hoar go with the sun
        return _always(wish, f"{said} ground")
    first_sun_s = min((start for start, _ in scene.direct()), default=math.inf)
    ends_s = first_sun_s + HOAR_HOLDS_MIN * 60.0
    lack = "" if math.isinf(first_sun_s) else f"sun on it since {scene.clock(first_sun_s)}"
    spans = ((-math.inf, ends_s),)
    return Standing(wish=wish, likely=spans, possible=spans, said=said, lack=lack)


def _plain(wish: Wish, scene: Scene) -> Standing:
    """Leaf, sky and season: one state, all morning."""
    if wish.kind is WishKind.SEASON:
        day = to_local(scene.at_utc, scene.spot.zone_name).date()
        return _always(wish, "in season") if wish.in_season(day) else _failing(
            wish, f"{wish.words}", "not in season"
        )  # fmt: skip
    leaf = wish.kind is WishKind.LEAF
    found = scene.spot.leaf if leaf else scene.answers.light
    if not found:
        return Standing(wish=wish, likely=ALWAYS, possible=ALWAYS, known=False, said="leaf")
    said = f"{'leaf' if leaf else 'sky'} {found}"
    return _always(wish, said) if found in wish.choices else _failing(
        wish, wish.words, f"{found} {'now' if leaf else 'here'}"
    )  # fmt: skip


def _always(wish: Wish, said: str) -> Standing:
    return Standing(wish=wish, likely=ALWAYS, possible=ALWAYS, said=said)


def _failing(wish: Wish, said: str, lack: str) -> Standing:
    return Standing(wish=wish, likely=(), possible=(), said=said, lack=lack)


_BY_KIND = {
    WishKind.MIST: _mist,
    WishKind.CLEAR_AIR: _clear_air,
    WishKind.LIGHT: _light,
    WishKind.FACING: _light,
    WishKind.SUN: _sun,
    WishKind.AIR: _air,
    WishKind.GROUND: _ground,
}
