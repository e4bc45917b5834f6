"""What the tables of the field book are made of: columns that are named like the values."""

from typing import Any

from sqlalchemy import (
    CheckConstraint,
    Column,
    ForeignKey,
    Integer,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
)

from shivelight.store.columns import Day, Real, Utc, YesNo

BOOK = MetaData()


def table(name: str, *parts: Any) -> Table:
    """Make a STRICT table of the book."""
    return Table(name, BOOK, *parts, sqlite_strict=True)


def row_number() -> "Column[int]":
    """Hold a number of a row."""
    return Column("id", Integer, primary_key=True)


def text(name: str) -> "Column[str]":
    """Hold a text that must be there, if only empty."""
    return Column(name, Text, nullable=False)


def real(name: str) -> "Column[float]":
    """Hold a number that must be there."""
    return Column(name, Real, nullable=False)


def count(name: str) -> "Column[int]":
    """Hold a whole number that must be there."""
    return Column(name, Integer, nullable=False)


def yes_no(name: str) -> "Column[bool]":
    """Hold a truth value that must be there."""
    return Column(name, YesNo, CheckConstraint(f"{name} IN (0, 1)"), nullable=False)


def utc(name: str, *, nullable: bool = False) -> "Column[Any]":
    """Hold an instant."""
    return Column(name, Utc, nullable=nullable)


def day(name: str, *, nullable: bool = False) -> "Column[Any]":
    """Hold a civil day."""
    return Column(name, Day, nullable=nullable)


def part_of(table: str) -> "Column[int]":
    """Point at the thing this row is a part of; it goes when the thing goes."""
    return Column(
        f"{table}_id", Integer, ForeignKey(f"{table}.id", ondelete="CASCADE"), nullable=False
    )


def about(table: str, *, nullable: bool = False) -> "Column[int]":
    """Point at another thing, which then cannot go."""
    return Column(
        f"{table}_id", Integer, ForeignKey(f"{table}.id", ondelete="RESTRICT"), nullable=nullable
    )


def list_of(owner: str, name: str, *columns: "Column[Any]") -> Table:
    """Table of an ordered list that belongs to a row of ``owner``."""
    return table(
        name,
        row_number(),
        part_of(owner),
        count("place"),
        *columns,
        UniqueConstraint(f"{owner}_id", "place"),
    )
