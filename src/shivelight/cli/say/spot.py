"""Spots in words."""

from collections.abc import Sequence

from shivelight.cli.say.words import item, lines
from shivelight.drawing.tables import table
from shivelight.drawing.words import date_words
from shivelight.outing.pictures import Picture
from shivelight.outing.spots import Spot


def spots(all_: Sequence[Spot], width: int) -> str:
    """List spots, one a line."""
    if not all_:
        return (
            "No spots here yet. Add one with: shivelight spot add NAME --wood WOOD --at PLACE ..."
        )
    rows = [
        (
            spot.name,
            spot.wood,
            f"{spot.view_azimuth_deg:.0f}°",
            f"{spot.focal_length_mm:g} mm",
            "; ".join(wish.words for wish in spot.musts) or "no musts",
            str(spot.state),
        )
        for spot in all_
    ]
    headers = ("spot", "wood", "view, true", "lens", "has to hold", "state")
    return table(rows, headers, width=width)


def page(spot: Spot, width: int, *, pictures: Sequence[Picture] = ()) -> str:
    """Show one spot, with its pictures where they are given."""
    place = spot.position
    height = "" if place.ground_height_m is None else f", ground at {place.ground_height_m:g} m"
    walk = "not timed" if spot.walk_min is None else f"{spot.walk_min:g} min from the parking"
    canopy = "under crowns" if spot.under_canopy else "open to the sky"
    return lines(
        f"{spot.name}, {spot.wood}",
        item("subject", [spot.subject], width) if spot.subject else "",
        item("stands at", [f"{place.latitude_deg:.6f}, {place.longitude_deg:.6f}{height}"], width),
        item(
            "view",
            [
                f"{spot.view_azimuth_deg:g}° true, {spot.focal_length_mm:g} mm, lens "
                f"{spot.lens_height_m:g} m up, {canopy}"
            ],
            width,
        ),
        item("has to hold", [wish.words for wish in spot.musts] or ["no musts yet"], width),
        item("would like", [wish.words for wish in spot.would_likes], width)
        if spot.would_likes
        else "",
        item("if not", [spot.if_not], width) if spot.if_not else "",
        item("walk", [walk], width),
        item("skyline", [_skyline(spot)], width),
        item("mark", _mark(spot), width),
        item("hazards", [", ".join(spot.hazards)], width) if spot.hazards else "",
        item("class", [f"{spot.privacy}; {spot.state}"], width),
        item("note", [spot.note], width) if spot.note else "",
        item("pictures", [_picture(one) for one in pictures], width) if pictures else "",
    )


def _skyline(spot: Spot) -> str:
    if not spot.sights:
        return "none typed"
    highest = max(spot.sights, key=lambda sight: sight.altitude_deg)
    return (
        f"{len(spot.sights)} heights typed, highest {highest.altitude_deg:.1f}° toward "
        f"{highest.azimuth_deg:.0f}°"
    )


def _picture(one: Picture) -> str:
    taken = f", taken {date_words(one.taken.date())}" if one.taken else ""
    caption = f": {one.caption}" if one.caption else ""
    return f"{one.id}{taken}{caption}"


def _mark(spot: Spot) -> list[str]:
    seen = spot.mark.last_confirmed
    told = f"last confirmed {date_words(seen)}" if seen else "never confirmed"
    return [*spot.mark.transits, told] if spot.mark.transits else [f"no transits; {told}"]
