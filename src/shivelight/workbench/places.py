"""Places and outlines as people type or save them, for shells: the readers of ``intake``."""

from shivelight.intake.outlines import NamedOutline, read_outlines
from shivelight.intake.places import (
    NamedPlace,
    parse_position,
    read_places,
    read_places_text,
)

__all__ = [
    "NamedOutline",
    "NamedPlace",
    "parse_position",
    "read_outlines",
    "read_places",
    "read_places_text",
]
