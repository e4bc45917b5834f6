"""The first book: woods, spots, kit, forecasts, judgements, logs and settings.

What is written here is never changed; later changes are migrations of their own.
"""

from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

APPLICATION_ID = 0x53686976  # "Shiv"

STATEMENTS = (
    """
    CREATE TABLE body (
        id INTEGER NOT NULL,
        place INTEGER NOT NULL,
        name TEXT NOT NULL,
        sensor_width_mm REAL NOT NULL,
        sensor_height_mm REAL NOT NULL,
        pixels_across INTEGER NOT NULL,
        base_iso INTEGER NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (place)
    ) STRICT
    """,
    """
    CREATE TABLE judgement (
        id INTEGER NOT NULL,
        day TEXT NOT NULL,
        made_utc TEXT NOT NULL,
        zone_name TEXT NOT NULL,
        answer TEXT NOT NULL,
        go INTEGER NOT NULL CHECK (go IN (0, 1)),
        morning_json TEXT NOT NULL,
        PRIMARY KEY (id)
    ) STRICT
    """,
    "CREATE INDEX ix_judgement_day ON judgement (day, made_utc)",
    """
    CREATE TABLE lens (
        id INTEGER NOT NULL,
        place INTEGER NOT NULL,
        name TEXT NOT NULL,
        shortest_mm REAL NOT NULL,
        longest_mm REAL NOT NULL,
        widest_f_number REAL NOT NULL,
        nearest_focus_m REAL NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (place)
    ) STRICT
    """,
    """
    CREATE TABLE payload (
        sha256 TEXT NOT NULL,
        size INTEGER NOT NULL,
        zlib_bytes BLOB NOT NULL,
        PRIMARY KEY (sha256)
    ) STRICT
    """,
    """
    CREATE TABLE setting (
        "key" TEXT NOT NULL,
        value TEXT NOT NULL,
        PRIMARY KEY ("key")
    ) STRICT
    """,
    """
    CREATE TABLE wood (
        id INTEGER NOT NULL,
        name TEXT NOT NULL,
        name_folded TEXT NOT NULL,
        zone_name TEXT NOT NULL,
        parking_latitude_deg REAL NOT NULL,
        parking_longitude_deg REAL NOT NULL,
        parking_ground_height_m REAL,
        ground_height_m REAL NOT NULL,
        stand TEXT NOT NULL,
        habit_hollow_depth_m REAL NOT NULL,
        habit_near_water INTEGER NOT NULL CHECK (habit_near_water IN (0, 1)),
        habit_fog_top_m REAL,
        habit_depth_m REAL NOT NULL,
        habit_note TEXT NOT NULL,
        road_min REAL,
        privacy TEXT NOT NULL,
        note TEXT NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (name_folded)
    ) STRICT
    """,
    """
    CREATE TABLE forecast (
        id INTEGER NOT NULL,
        wood_id INTEGER NOT NULL,
        kind TEXT NOT NULL,
        fetched_utc TEXT NOT NULL,
        issued_utc TEXT,
        url TEXT NOT NULL,
        headers_json TEXT NOT NULL,
        sha256 TEXT NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (wood_id, kind, fetched_utc, sha256),
        FOREIGN KEY(wood_id) REFERENCES wood (id) ON DELETE RESTRICT,
        FOREIGN KEY(sha256) REFERENCES payload (sha256) ON DELETE RESTRICT
    ) STRICT
    """,
    """
    CREATE TABLE judged_sign (
        id INTEGER NOT NULL,
        judgement_id INTEGER NOT NULL,
        wood_id INTEGER NOT NULL,
        name TEXT NOT NULL,
        value REAL NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (judgement_id, wood_id, name),
        FOREIGN KEY(judgement_id) REFERENCES judgement (id) ON DELETE CASCADE,
        FOREIGN KEY(wood_id) REFERENCES wood (id) ON DELETE RESTRICT
    ) STRICT
    """,
    """
    CREATE TABLE spot (
        id INTEGER NOT NULL,
        name TEXT NOT NULL,
        name_folded TEXT NOT NULL,
        wood_id INTEGER NOT NULL,
        position_latitude_deg REAL NOT NULL,
        position_longitude_deg REAL NOT NULL,
        position_ground_height_m REAL,
        view_azimuth_deg REAL NOT NULL,
        lens_height_m REAL NOT NULL,
        focal_length_mm REAL NOT NULL,
        sensor_width_mm REAL NOT NULL,
        subject TEXT NOT NULL,
        subject_position_latitude_deg REAL,
        subject_position_longitude_deg REAL,
        subject_position_ground_height_m REAL,
        mark_last_confirmed TEXT,
        walk_min REAL,
        if_not TEXT NOT NULL,
        privacy TEXT NOT NULL,
        state TEXT NOT NULL,
        note TEXT NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (name_folded),
        FOREIGN KEY(wood_id) REFERENCES wood (id) ON DELETE RESTRICT
    ) STRICT
    """,
    "CREATE INDEX ix_spot_wood_id ON spot (wood_id)",
    """
    CREATE TABLE wood_access (
        id INTEGER NOT NULL,
        wood_id INTEGER NOT NULL,
        place INTEGER NOT NULL,
        what TEXT NOT NULL,
        noted_on TEXT NOT NULL,
        from_day TEXT,
        to_day TEXT,
        closes INTEGER NOT NULL CHECK (closes IN (0, 1)),
        contact TEXT NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (wood_id, place),
        FOREIGN KEY(wood_id) REFERENCES wood (id) ON DELETE CASCADE
    ) STRICT
    """,
    """
    CREATE TABLE wood_hazard (
        id INTEGER NOT NULL,
        wood_id INTEGER NOT NULL,
        place INTEGER NOT NULL,
        hazard TEXT NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (wood_id, place),
        FOREIGN KEY(wood_id) REFERENCES wood (id) ON DELETE CASCADE
    ) STRICT
    """,
    """
    CREATE TABLE wood_outline (
        id INTEGER NOT NULL,
        wood_id INTEGER NOT NULL,
        place INTEGER NOT NULL,
        latitude_deg REAL NOT NULL,
        longitude_deg REAL NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (wood_id, place),
        FOREIGN KEY(wood_id) REFERENCES wood (id) ON DELETE CASCADE
    ) STRICT
    """,
    """
    CREATE TABLE found (
        id INTEGER NOT NULL,
        day TEXT NOT NULL,
        wood_id INTEGER NOT NULL,
        spot_id INTEGER,
        mist TEXT NOT NULL,
        optical_range_m REAL,
        lifted_utc TEXT,
        air TEXT NOT NULL,
        light TEXT NOT NULL,
        leaf TEXT NOT NULL,
        why_looked TEXT NOT NULL,
        note TEXT NOT NULL,
        PRIMARY KEY (id),
        FOREIGN KEY(wood_id) REFERENCES wood (id) ON DELETE RESTRICT,
        FOREIGN KEY(spot_id) REFERENCES spot (id) ON DELETE RESTRICT
    ) STRICT
    """,
    "CREATE INDEX ix_found_wood_id ON found (wood_id)",
    "CREATE UNIQUE INDEX ux_found_day_wood_spot ON found (day, wood_id, coalesce(spot_id, 0))",
    """
    CREATE TABLE found_replaced (
        id INTEGER NOT NULL,
        day TEXT NOT NULL,
        wood_id INTEGER NOT NULL,
        spot_id INTEGER,
        mist TEXT NOT NULL,
        optical_range_m REAL,
        lifted_utc TEXT,
        air TEXT NOT NULL,
        light TEXT NOT NULL,
        leaf TEXT NOT NULL,
        why_looked TEXT NOT NULL,
        note TEXT NOT NULL,
        PRIMARY KEY (id),
        FOREIGN KEY(wood_id) REFERENCES wood (id) ON DELETE RESTRICT,
        FOREIGN KEY(spot_id) REFERENCES spot (id) ON DELETE RESTRICT
    ) STRICT
    """,
    """
    CREATE TABLE judged_spot (
        id INTEGER NOT NULL,
        judgement_id INTEGER NOT NULL,
        rank INTEGER NOT NULL,
        wood_id INTEGER NOT NULL,
        spot_id INTEGER NOT NULL,
        chance_frac REAL,
        morning_mist_frac REAL,
        forecast_frac REAL,
        source TEXT NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (judgement_id, rank),
        FOREIGN KEY(judgement_id) REFERENCES judgement (id) ON DELETE CASCADE,
        FOREIGN KEY(wood_id) REFERENCES wood (id) ON DELETE RESTRICT,
        FOREIGN KEY(spot_id) REFERENCES spot (id) ON DELETE RESTRICT
    ) STRICT
    """,
    "CREATE INDEX ix_judged_spot_spot_id ON judged_spot (spot_id)",
    "CREATE INDEX ix_judged_spot_wood_id ON judged_spot (wood_id)",
    """
    CREATE TABLE spot_hazard (
        id INTEGER NOT NULL,
        spot_id INTEGER NOT NULL,
        place INTEGER NOT NULL,
        hazard TEXT NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (spot_id, place),
        FOREIGN KEY(spot_id) REFERENCES spot (id) ON DELETE CASCADE
    ) STRICT
    """,
    """
    CREATE TABLE spot_sight (
        id INTEGER NOT NULL,
        spot_id INTEGER NOT NULL,
        place INTEGER NOT NULL,
        azimuth_deg REAL NOT NULL,
        altitude_deg REAL NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (spot_id, place),
        FOREIGN KEY(spot_id) REFERENCES spot (id) ON DELETE CASCADE
    ) STRICT
    """,
    """
    CREATE TABLE spot_transit (
        id INTEGER NOT NULL,
        spot_id INTEGER NOT NULL,
        place INTEGER NOT NULL,
        transit TEXT NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (spot_id, place),
        FOREIGN KEY(spot_id) REFERENCES spot (id) ON DELETE CASCADE
    ) STRICT
    """,
    """
    CREATE TABLE spot_wish (
        id INTEGER NOT NULL,
        spot_id INTEGER NOT NULL,
        place INTEGER NOT NULL,
        kind TEXT NOT NULL,
        must INTEGER NOT NULL CHECK (must IN (0, 1)),
        low REAL,
        high REAL,
        from_month INTEGER,
        from_day_of_month INTEGER,
        to_month INTEGER,
        to_day_of_month INTEGER,
        PRIMARY KEY (id),
        UNIQUE (spot_id, place),
        FOREIGN KEY(spot_id) REFERENCES spot (id) ON DELETE CASCADE
    ) STRICT
    """,
    """
    CREATE TABLE spot_wish_choice (
        id INTEGER NOT NULL,
        spot_wish_id INTEGER NOT NULL,
        place INTEGER NOT NULL,
        choice TEXT NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (spot_wish_id, place),
        FOREIGN KEY(spot_wish_id) REFERENCES spot_wish (id) ON DELETE CASCADE
    ) STRICT
    """,
)


def upgrade() -> None:
    """Lay the tables and say whose file this is."""
    for statement in STATEMENTS:
        op.execute(statement)
    op.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    op.execute("PRAGMA user_version = 1")
