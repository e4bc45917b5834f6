"""Positions as people type or save them, for shells: the readers of ``intake.places``."""

from shivelight.intake.places import NamedPlace, parse_position, read_places

__all__ = ["NamedPlace", "parse_position", "read_places"]
