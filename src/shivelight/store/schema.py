"""The tables of the field book as they are now; how they came to be is in ``migrations``.

Columns are named like the fields of the values they hold, units and all. Parts of one thing
(its outline, wishes, access facts) go with it (CASCADE); things that refer to each other hold
each other (RESTRICT), so that nothing is lost by the way.
"""

from typing import Any

from sqlalchemy import (
    CheckConstraint,
    Column,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
    text,
)

from shivelight.store.columns import Day, Real, Row, Utc, YesNo

APPLICATION_ID = 0x53686976  # "Shiv"
NEWEST = 4
"""Version of the book that this code writes; a book of a later one is refused."""

BOOK = MetaData()

WORDS = {
    "spot": ("spot", "spots"),
    "forecast": ("forecast", "forecasts"),
    "judged_spot": ("judged morning", "judged mornings"),
    "judged_sign": ("number of an evening", "numbers of evenings"),
    "found": ("log", "logs"),
    "found_replaced": ("earlier log", "earlier logs"),
    "outing_wood": ("outing", "outings"),
    "outing_visit": ("visit", "visits"),
    "raster": ("raster", "rasters"),
    "evening": ("evening's values", "evenings' values"),
    "picture": ("picture", "pictures"),
    "season_note": ("season note", "season notes"),
}
"""What rows of a table are called when they keep something from being removed."""


def _table(name: str, *parts: Any) -> Table:
    return Table(name, BOOK, *parts, sqlite_strict=True)


def _id() -> "Column[int]":
    return Column("id", Integer, primary_key=True)


def _text(name: str) -> "Column[str]":
    return Column(name, Text, nullable=False)


def _real(name: str) -> "Column[float]":
    return Column(name, Real, nullable=False)


def _count(name: str) -> "Column[int]":
    return Column(name, Integer, nullable=False)


def _yes_no(name: str) -> "Column[bool]":
    return Column(name, YesNo, CheckConstraint(f"{name} IN (0, 1)"), nullable=False)


def _utc(name: str, *, nullable: bool = False) -> "Column[Any]":
    return Column(name, Utc, nullable=nullable)


def _day(name: str, *, nullable: bool = False) -> "Column[Any]":
    return Column(name, Day, nullable=nullable)


def _part_of(table: str) -> "Column[int]":
    """Point at the thing this row is a part of; it goes when the thing goes."""
    return Column(
        f"{table}_id", Integer, ForeignKey(f"{table}.id", ondelete="CASCADE"), nullable=False
    )


def _about(table: str, *, nullable: bool = False) -> "Column[int]":
    """Point at another thing, which then cannot go."""
    return Column(
        f"{table}_id", Integer, ForeignKey(f"{table}.id", ondelete="RESTRICT"), nullable=nullable
    )


def _list_of(owner: str, name: str, *columns: "Column[Any]") -> Table:
    """Table of an ordered list that belongs to a row of ``owner``."""
    return _table(
        name,
        _id(),
        _part_of(owner),
        _count("place"),
        *columns,
        UniqueConstraint(f"{owner}_id", "place"),
    )


wood = _table(
    "wood",
    _id(),
    _text("name"),
    Column("name_folded", Text, nullable=False, unique=True),
    _text("zone_name"),
    _real("parking_latitude_deg"),
    _real("parking_longitude_deg"),
    Column("parking_ground_height_m", Real),
    _real("ground_height_m"),
    _text("stand"),
    _real("habit_hollow_depth_m"),
    _yes_no("habit_near_water"),
    Column("habit_fog_top_m", Real),
    _real("habit_depth_m"),
    _text("habit_note"),
    Column("road_min", Real),
    _text("privacy"),
    _text("note"),
)
wood_outline = _list_of("wood", "wood_outline", _real("latitude_deg"), _real("longitude_deg"))
wood_hazard = _list_of("wood", "wood_hazard", _text("hazard"))
wood_access = _list_of(
    "wood",
    "wood_access",
    _text("what"),
    _day("noted_on"),
    _day("from_day", nullable=True),
    _day("to_day", nullable=True),
    _yes_no("closes"),
    _text("contact"),
)

spot = _table(
    "spot",
    _id(),
    _text("name"),
    Column("name_folded", Text, nullable=False, unique=True),
    _about("wood"),
    _real("position_latitude_deg"),
    _real("position_longitude_deg"),
    Column("position_ground_height_m", Real),
    _real("view_azimuth_deg"),
    _real("lens_height_m"),
    _real("focal_length_mm"),
    _real("sensor_width_mm"),
    _text("subject"),
    Column("subject_position_latitude_deg", Real),
    Column("subject_position_longitude_deg", Real),
    Column("subject_position_ground_height_m", Real),
    _day("mark_last_confirmed", nullable=True),
    Column("walk_min", Real),
    _text("if_not"),
    _text("privacy"),
    _text("state"),
    _text("note"),
    Column(
        "under_canopy",
        YesNo,
        CheckConstraint("under_canopy IN (0, 1)"),
        nullable=False,
        server_default=text("0"),  # what books from before this column say
    ),
    Index("ix_spot_wood_id", "wood_id"),
)
spot_sight = _list_of("spot", "spot_sight", _real("azimuth_deg"), _real("altitude_deg"))
spot_hazard = _list_of("spot", "spot_hazard", _text("hazard"))
spot_transit = _list_of("spot", "spot_transit", _text("transit"))
spot_wish = _list_of(
    "spot",
    "spot_wish",
    _text("kind"),
    _yes_no("must"),
    Column("low", Real),
    Column("high", Real),
    Column("from_month", Integer),
    Column("from_day_of_month", Integer),
    Column("to_month", Integer),
    Column("to_day_of_month", Integer),
)
spot_wish_choice = _list_of("spot_wish", "spot_wish_choice", _text("choice"))

body = _table(
    "body",
    _id(),
    Column("place", Integer, nullable=False, unique=True),
    _text("name"),
    _real("sensor_width_mm"),
    _real("sensor_height_mm"),
    _count("pixels_across"),
    _count("base_iso"),
)
lens = _table(
    "lens",
    _id(),
    Column("place", Integer, nullable=False, unique=True),
    _text("name"),
    _real("shortest_mm"),
    _real("longest_mm"),
    _real("widest_f_number"),
    _real("nearest_focus_m"),
)

payload = _table(
    "payload",
    Column("sha256", Text, primary_key=True, nullable=False),
    _count("size"),
    Column("zlib_bytes", LargeBinary, nullable=False),
)
forecast = _table(
    "forecast",
    _id(),
    _about("wood"),
    _text("kind"),
    _utc("fetched_utc"),
    _utc("issued_utc", nullable=True),
    _text("url"),
    _text("headers_json"),
    Column("sha256", Text, ForeignKey("payload.sha256", ondelete="RESTRICT"), nullable=False),
    UniqueConstraint("wood_id", "kind", "fetched_utc", "sha256"),
)

judgement = _table(
    "judgement",
    _id(),
    _day("day"),
    _utc("made_utc"),
    _text("zone_name"),
    _text("answer"),
    _yes_no("go"),
    _text("morning_json"),
    Index("ix_judgement_day", "day", "made_utc"),
)
# A chance is empty where it could not be worked out.
judged_spot = _table(
    "judged_spot",
    _id(),
    _part_of("judgement"),
    _count("rank"),
    _about("wood"),
    _about("spot"),
    Column("chance_frac", Real),
    Column("morning_mist_frac", Real),
    Column("forecast_frac", Real),
    _text("source"),
    UniqueConstraint("judgement_id", "rank"),
    Index("ix_judged_spot_wood_id", "wood_id"),
    Index("ix_judged_spot_spot_id", "spot_id"),
)
judged_sign = _table(
    "judged_sign",
    _id(),
    _part_of("judgement"),
    _about("wood"),
    _text("name"),
    _real("value"),
    UniqueConstraint("judgement_id", "wood_id", "name"),
)


def _found_columns() -> list["Column[Any]"]:
    return [
        _id(),
        _day("day"),
        _about("wood"),
        _about("spot", nullable=True),
        _text("mist"),
        Column("optical_range_m", Real),
        _utc("lifted_utc", nullable=True),
        _text("air"),
        _text("light"),
        _text("leaf"),
        _text("why_looked"),
        _text("note"),
    ]


found = _table(
    "found",
    *_found_columns(),
    Index("ux_found_day_wood_spot", "day", "wood_id", text("coalesce(spot_id, 0)"), unique=True),
    Index("ix_found_wood_id", "wood_id"),
)
found_replaced = _table("found_replaced", *_found_columns())
"""Logs that a later one of the same morning took the place of, oldest first."""

setting = _table(
    "setting",
    Column("key", Text, primary_key=True, nullable=False),
    _text("value"),
)

outing = _table(
    "outing",
    _id(),
    Column("day", Day, nullable=False, unique=True),
    _yes_no("sheet_given"),
    _text("note"),
)
outing_wood = _list_of("outing", "outing_wood", _about("wood"))
outing_visit = _list_of("outing", "outing_visit", _about("spot"))
outing_word = _table(
    "outing_word",
    Column("outing_id", Integer, ForeignKey("outing.id", ondelete="CASCADE"), primary_key=True),
    _text("who"),
    _text("car"),
    _text("contact"),
    _utc("back_by_utc"),
    _utc("alarm_utc"),
    _text("note"),
)

# A skyline can be worked out again, so it goes with its spot.
skyline = _table(
    "skyline",
    _id(),
    _part_of("spot"),
    _text("seen_from"),
    _utc("made_utc"),
    _text("origin"),
    Column("altitude_deg", Row, nullable=False),
    Column("reach_m", Row),
    UniqueConstraint("spot_id", "seen_from"),
)
skyline_parameter = _table(
    "skyline_parameter",
    _id(),
    _part_of("skyline"),
    _text("name"),
    _text("value"),
    UniqueConstraint("skyline_id", "name"),
)

# So can crowns. Their rows of numbers hold one bearing after another.
crown_table = _table(
    "crown_table",
    _id(),
    _part_of("spot"),
    _text("seen_from"),
    _utc("made_utc"),
    Column("azimuth_deg", Row, nullable=False),
    Column("altitude_deg", Row, nullable=False),
    Column("path_m", Row, nullable=False),
    Column("unseen_m", Row, nullable=False),
    UniqueConstraint("spot_id", "seen_from"),
)
crown_parameter = _table(
    "crown_parameter",
    _id(),
    _part_of("crown_table"),
    _text("name"),
    _text("value"),
    UniqueConstraint("crown_table_id", "name"),
)

raster = _table(
    "raster",
    _id(),
    _about("wood"),
    _text("kind"),
    _text("path"),
    _text("height_unit"),
    _text("crs"),
    UniqueConstraint("wood_id", "kind", "path"),
)
evening = _table(
    "evening",
    _id(),
    _about("wood"),
    _utc("typed_utc"),
    Column("temperature_degc", Real),
    Column("dew_point_degc", Real),
    Column("humidity_frac", Real),
    Column("wind_speed_mps", Real),
    Column("cloud_cover_frac", Real),
    _text("wind_words"),
    _text("cloud_words"),
    _text("ground"),
    _text("pressure"),
    _text("note"),
    UniqueConstraint("wood_id", "typed_utc"),
)

# The files stand beside the book; a row without a spot is a picture that belongs to none (yet).
picture = _table(
    "picture",
    _id(),
    _about("spot", nullable=True),
    Column("sha256", Text, nullable=False, unique=True),
    _text("file_name"),
    _count("byte_count"),
    _count("width_px"),
    _count("height_px"),
    Column("taken", Text),  # on the clock of the camera, which may not know its zone
    Column("taken_offset_min", Integer),
    Column("latitude_deg", Real),
    Column("longitude_deg", Real),
    Column("direction_deg", Real),
    Column("direction_is_magnetic", YesNo, CheckConstraint("direction_is_magnetic IN (0, 1)")),
    Column("focal_length_mm", Real),
    _utc("kept_utc"),
    _text("caption"),
    Index("ix_picture_spot_id", "spot_id"),
)
# Belongs to this machine, not to the book's contents: never exported.
device = _table(
    "device",
    _id(),
    _text("name"),
    Column("token_sha256", Text, nullable=False, unique=True),
    _utc("paired_utc"),
    _utc("last_seen_utc"),
)
season_note = _table(
    "season_note",
    _id(),
    _about("wood"),
    _day("day"),
    _text("stage"),
    _text("words"),
    UniqueConstraint("wood_id", "day", "stage", "words"),
)
