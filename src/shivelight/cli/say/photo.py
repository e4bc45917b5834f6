"""Photographs in words."""

from shivelight.cli.say import spot as spots
from shivelight.cli.say.words import blocks, item, lines
from shivelight.drawing.words import date_words
from shivelight.outing.pictures import PhotoFacts, Picture
from shivelight.workbench.drafts import SpotFromPhoto

NORTHS = {True: "from magnetic north", False: "true", None: "from a north that it does not name"}


def facts(one: PhotoFacts, width: int) -> str:
    """Say what a photograph's file tells."""
    return lines(
        f"{one.kind.upper()}, {one.width_px} x {one.height_px} px as it is held",
        item("taken", [_taken(one)], width) if one.taken else "",
        item("from", [_place(one)], width) if one.position else "",
        item("toward", [_toward(one)], width) if one.direction_deg is not None else "",
        item("lens", [_lens(one)], width) if one.focal_length_mm is not None else "",
        item("missing", list(one.notes), width) if one.notes else "",
    )


def kept(picture: Picture, width: int) -> str:
    """Say that a picture is kept, and where its file is."""
    return lines(
        f"Kept as picture {picture.id} of {picture.spot}."
        if picture.spot
        else f"Kept as picture {picture.id}.",
        item("file", [picture.file_name], width),
        item("caption", [picture.caption], width) if picture.caption else "",
    )


def spot_made(one: SpotFromPhoto, width: int) -> str:
    """Show a spot that was made from a photograph, and what the photograph told."""
    owner = one.picture.spot
    return blocks(
        spots.page(one.spot, width),
        lines(
            f"The photograph is picture {one.picture.id}, kept for {owner}.",
            item("it told", [", ".join(one.taken) or "nothing that was not typed"], width),
            item("but", list(one.sentences), width) if one.sentences else "",
        ),
    )


def _taken(one: PhotoFacts) -> str:
    if one.taken is None:
        return ""
    clock = f"{date_words(one.taken.date())}, {one.taken:%H:%M}"
    if one.taken_offset_min is None:
        return f"{clock} on the camera's clock"
    sign = "-" if one.taken_offset_min < 0 else "+"
    hours, minutes = divmod(abs(one.taken_offset_min), 60)
    return f"{clock}, UTC{sign}{hours:02}:{minutes:02}"


def _place(one: PhotoFacts) -> str:
    good = "" if one.fix_error_m is None else f", good to {one.fix_error_m:.0f} m by its own word"
    return f"{one.latitude_deg:.6f}, {one.longitude_deg:.6f}{good}"


def _toward(one: PhotoFacts) -> str:
    return f"{one.direction_deg:.0f}°, {NORTHS[one.direction_is_magnetic]}"


def _lens(one: PhotoFacts) -> str:
    wide = one.sensor_width_mm
    sensor = "" if wide is None else f" on a sensor about {wide:.1f} mm wide"
    return f"{one.focal_length_mm:g} mm{sensor}"
