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
    Text,
    UniqueConstraint,
    text,
)

from shivelight.store.columns import Day, Real, Row, YesNo
from shivelight.store.tables import BOOK as BOOK  # noqa: PLC0414  it belongs to what is read here
from shivelight.store.tables import about as _about
from shivelight.store.tables import count as _count
from shivelight.store.tables import day as _day
from shivelight.store.tables import list_of as _list_of
from shivelight.store.tables import part_of as _part_of
from shivelight.store.tables import real as _real
from shivelight.store.tables import row_number as _id
from shivelight.store.tables import table as _table
from shivelight.store.tables import text as _text
from shivelight.store.tables import utc as _utc
from shivelight.store.tables import yes_no as _yes_no

APPLICATION_ID = 0x53686976  # "Shiv"
NEWEST = 5
"""Version of the book that this code writes; a book of a later one is refused."""

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
    "survey": ("survey", "surveys"),
    "framing": ("wish of a picture", "wishes of a picture"),
    "stand": ("stand", "stands"),
}
"""What rows of a table are called when they keep something from being removed."""


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

# What was surveyed before the lens at a spot, in metres of the spot's own frame.
survey = _table(
    "survey",
    _id(),
    Column("spot_id", Integer, ForeignKey("spot.id", ondelete="RESTRICT"), nullable=False),
    _real("rise_right_frac"),
    _real("rise_forward_frac"),
    _real("scale_doubt_frac"),
    UniqueConstraint("spot_id"),
)


def _element_columns() -> "list[Column[Any]]":
    return [
        _text("role"),
        _real("doubt_distance_m"),
        _real("doubt_angle_deg"),
        _real("doubt_width_m"),
        _text("how"),
    ]


survey_trunk = _list_of(
    "survey",
    "survey_trunk",
    _text("name"),
    _real("x_m"),
    _real("y_m"),
    _real("width_m"),
    _real("height_m"),
    _real("lean_right_deg"),
    _real("lean_away_deg"),
    *_element_columns(),
)
survey_segment = _list_of(
    "survey",
    "survey_segment",
    _text("name"),
    *(_real(f"{end}_{axis}_m") for end in ("start", "end") for axis in "xyz"),
    _real("width_m"),
    *_element_columns(),
)
survey_hole = _list_of(
    "survey",
    "survey_hole",
    _text("name"),
    _real("angle_deg"),
    _real("altitude_deg"),
    _real("width_deg"),
    _real("height_deg"),
    _real("distance_m"),
    _text("how"),
)
survey_closed = _list_of(
    "survey",
    "survey_closed",
    _text("name"),
    _real("centre_x_m"),
    _real("centre_y_m"),
    _real("radius_m"),
    _text("how"),
)
survey_closed_corner = _list_of(
    "survey_closed", "survey_closed_corner", _real("x_m"), _real("y_m")
)
# What is wished of the picture has some twenty fields that only the search reads.
framing = _table(
    "framing",
    _id(),
    Column("spot_id", Integer, ForeignKey("spot.id", ondelete="RESTRICT"), nullable=False),
    _text("framing_json"),
    _text("reach_json"),
    UniqueConstraint("spot_id"),
)
stand = _table(
    "stand",
    _id(),
    _about("spot"),
    _utc("kept_utc"),
    _real("x_m"),
    _real("y_m"),
    _real("z_m"),
    _real("focal_length_mm"),
    _real("yaw_deg"),
    _real("pitch_deg"),
    Column("smallest_gap_deg", Real),
    _text("pair_left"),
    _text("pair_right"),
    _text("words"),
    Index("ix_stand_spot_id", "spot_id"),
)
anchor_transit = _list_of(
    "spot",
    "anchor_transit",
    _text("near"),
    _text("near_side"),
    _text("far"),
    _text("far_side"),
)
anchor_distance = _list_of(
    "spot",
    "anchor_distance",
    _text("name"),
    _real("distance_m"),
    _real("doubt_m"),
    _text("how"),
)
anchor_lost = _list_of("spot", "anchor_lost", _text("name"), _day("noted_on"))
