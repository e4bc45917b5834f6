"""A morning strip in words: its label, its sentence, its readings, and the same as a table."""

import numpy as np

from shivelight.basis.chances import chance_in_words
from shivelight.basis.instants import clock
from shivelight.drawing.timescale import QUARTER
from shivelight.light.crowned import seen_light
from shivelight.outing.judgement import SpotOutlook

TABLE_HEADERS = ("from", "mist under 1 km", "direct sun", "air at the leaf", "all you want")


def window_words(outlook: SpotOutlook, *, zone_name: str, brief: bool = False) -> str:
    """Label of the bracket: "17 min of light through mist, 07:43–08:00"."""
    best = outlook.best
    if best is None:
        return "all you want does not come together"
    what = "" if brief else f" of {_what(outlook)}"
    start, end = clock(best.start_utc, zone_name), clock(best.end_utc, zone_name)
    return f"{best.minutes:.0f} min{what}, {start}–{end}"


def strip_sentence(outlook: SpotOutlook, *, zone_name: str) -> str:
    """Say what the strip shows: mist and when it falls; sun; air; window."""
    parts = [f"{outlook.spot}, {outlook.wood}: {_mist_sentence(outlook, zone_name)}"]
    if outlook.clears_utc is None:
        up = "the sun is past its skyline already" if outlook.light else ""
        parts.append(up or "no direct sun in this span")
    else:
        hidden = ", behind crowns" if outlook.light and not seen_light(outlook.light) else ""
        parts.append(
            f"the sun passes its skyline at {clock(outlook.clears_utc, zone_name)}{hidden}"
        )
    parts.append(_air_sentence(outlook, zone_name))
    parts.append(window_words(outlook, zone_name=zone_name))
    return "; ".join(part for part in parts if part) + "."


def strip_rows(
    outlook: SpotOutlook, span: tuple[np.datetime64, np.datetime64], *, zone_name: str
) -> tuple[tuple[str, ...], ...]:
    """All numbers of a strip, a row a quarter hour, under :data:`TABLE_HEADERS`."""
    fog = dict(zip(outlook.mist.quarter_utc.tolist(), outlook.mist.fog_frac, strict=True))
    rows = []
    for number, utc in enumerate(outlook.quarter_utc):
        if not span[0] <= utc < span[1]:
            continue
        rows.append(
            (
                clock(utc, zone_name),
                _chance(float(fog.get(utc.item(), np.nan))),
                _light(outlook, utc),
                outlook.leaf_air[number],
                _chance(float(outlook.chance_by_quarter_frac[number])),
            )
        )
    return tuple(rows)


def strip_readings(
    outlook: SpotOutlook, span: tuple[np.datetime64, np.datetime64], *, zone_name: str
) -> tuple[str, ...]:
    """One sentence a quarter hour, for the reading line."""
    readings = []
    for row, utc in zip(
        strip_rows(outlook, span, zone_name=zone_name), _within(outlook, span), strict=True
    ):
        start, mist, sun, air, wanted = row
        end = clock(utc + QUARTER, zone_name)
        readings.append(
            f"{start}–{end}: mist {mist}, {_sun_words(sun)}, leaf {air}. All you want: {wanted}."
        )
    return tuple(readings)


def _within(
    outlook: SpotOutlook, span: tuple[np.datetime64, np.datetime64]
) -> list[np.datetime64]:
    return [utc for utc in outlook.quarter_utc if span[0] <= utc < span[1]]


def _chance(chance_frac: float) -> str:
    return chance_in_words(chance_frac) if np.isfinite(chance_frac) else "not known"


def _light(outlook: SpotOutlook, utc: np.datetime64) -> str:
    for window in seen_light(outlook.light):
        if window.start_utc < utc + QUARTER and window.end_utc > utc:
            return window.facing or "yes"
    return "none"


def _sun_words(sun: str) -> str:
    if sun == "none":
        return "no direct sun"
    return "direct sun" if sun == "yes" else f"direct sun, {sun} light"


def _what(outlook: SpotOutlook) -> str:
    musts = [wish.words for wish in outlook.wishes if wish.must]
    misty = any(words.startswith("mist") for words in musts)
    sunny = any(words.startswith(("direct", "back", "side", "front", "sun")) for words in musts)
    if misty:
        return "light through mist" if sunny else "quiet mist"
    return "direct light" if sunny else "all you want"


def _mist_sentence(outlook: SpotOutlook, zone_name: str) -> str:
    fog = outlook.mist.fog_frac
    if not fog.size or not np.isfinite(fog).any():
        return "mist is not known"
    peak = int(np.nanargmax(fog))
    when = clock(outlook.mist.quarter_utc[peak], zone_name)
    words = f"mist {chance_in_words(float(fog[peak]))} at {when}"
    later = np.nonzero((np.arange(fog.size) > peak) & (fog < fog[peak] / 2.0))[0]
    if later.size:
        words += f", half that by {clock(outlook.mist.quarter_utc[later[0]], zone_name)}"
    if outlook.record is not None and outlook.record.mornings:
        words += f" (your record: {outlook.record.words})"
    return words


def _air_sentence(outlook: SpotOutlook, zone_name: str) -> str:
    still = [
        utc
        for utc, air in zip(outlook.quarter_utc, outlook.leaf_air, strict=True)
        if air == "still"
    ]
    if not still:
        return ""
    return (
        f"leaf still from {clock(still[0], zone_name)} to {clock(still[-1] + QUARTER, zone_name)}"
    )
