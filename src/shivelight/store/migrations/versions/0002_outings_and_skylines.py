"""The second book: outings, skylines worked out from rasters, rasters, typed evenings."""

from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

STATEMENTS = (
    """
    CREATE TABLE outing (
        id INTEGER NOT NULL,
        day TEXT NOT NULL,
        sheet_given INTEGER NOT NULL CHECK (sheet_given IN (0, 1)),
        note TEXT NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (day)
    ) STRICT
    """,
    """
    CREATE TABLE outing_wood (
        id INTEGER NOT NULL,
        outing_id INTEGER NOT NULL,
        place INTEGER NOT NULL,
        wood_id INTEGER NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (outing_id, place),
        FOREIGN KEY(outing_id) REFERENCES outing (id) ON DELETE CASCADE,
        FOREIGN KEY(wood_id) REFERENCES wood (id) ON DELETE RESTRICT
    ) STRICT
    """,
    """
    CREATE TABLE outing_visit (
        id INTEGER NOT NULL,
        outing_id INTEGER NOT NULL,
        place INTEGER NOT NULL,
        spot_id INTEGER NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (outing_id, place),
        FOREIGN KEY(outing_id) REFERENCES outing (id) ON DELETE CASCADE,
        FOREIGN KEY(spot_id) REFERENCES spot (id) ON DELETE RESTRICT
    ) STRICT
    """,
    """
    CREATE TABLE outing_word (
        outing_id INTEGER NOT NULL,
        who TEXT NOT NULL,
        car TEXT NOT NULL,
        contact TEXT NOT NULL,
        back_by_utc TEXT NOT NULL,
        alarm_utc TEXT NOT NULL,
        note TEXT NOT NULL,
        PRIMARY KEY (outing_id),
        FOREIGN KEY(outing_id) REFERENCES outing (id) ON DELETE CASCADE
    ) STRICT
    """,
    """
    CREATE TABLE skyline (
        id INTEGER NOT NULL,
        spot_id INTEGER NOT NULL,
        seen_from TEXT NOT NULL,
        made_utc TEXT NOT NULL,
        origin TEXT NOT NULL,
        altitude_deg BLOB NOT NULL,
        reach_m BLOB,
        PRIMARY KEY (id),
        UNIQUE (spot_id, seen_from),
        FOREIGN KEY(spot_id) REFERENCES spot (id) ON DELETE CASCADE
    ) STRICT
    """,
    """
    CREATE TABLE skyline_parameter (
        id INTEGER NOT NULL,
        skyline_id INTEGER NOT NULL,
        name TEXT NOT NULL,
        value TEXT NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (skyline_id, name),
        FOREIGN KEY(skyline_id) REFERENCES skyline (id) ON DELETE CASCADE
    ) STRICT
    """,
    """
    CREATE TABLE raster (
        id INTEGER NOT NULL,
        wood_id INTEGER NOT NULL,
        kind TEXT NOT NULL,
        path TEXT NOT NULL,
        height_unit TEXT NOT NULL,
        crs TEXT NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (wood_id, kind, path),
        FOREIGN KEY(wood_id) REFERENCES wood (id) ON DELETE RESTRICT
    ) STRICT
    """,
    """
    CREATE TABLE evening (
        id INTEGER NOT NULL,
        wood_id INTEGER NOT NULL,
        typed_utc TEXT NOT NULL,
        temperature_degc REAL,
        dew_point_degc REAL,
        humidity_frac REAL,
        wind_speed_mps REAL,
        cloud_cover_frac REAL,
        wind_words TEXT NOT NULL,
        cloud_words TEXT NOT NULL,
        ground TEXT NOT NULL,
        pressure TEXT NOT NULL,
        note TEXT NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (wood_id, typed_utc),
        FOREIGN KEY(wood_id) REFERENCES wood (id) ON DELETE RESTRICT
    ) STRICT
    """,
)


def upgrade() -> None:
    """Lay the new tables beside the others."""
    for statement in STATEMENTS:
        op.execute(statement)
    op.execute("PRAGMA user_version = 2")
