"""The fourth book: pictures of spots, paired devices, and what the seasons of a wood did when."""

from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

STATEMENTS = (
    """
    CREATE TABLE picture (
        id INTEGER NOT NULL,
        spot_id INTEGER,
        sha256 TEXT NOT NULL,
        file_name TEXT NOT NULL,
        byte_count INTEGER NOT NULL,
        width_px INTEGER NOT NULL,
        height_px INTEGER NOT NULL,
        taken TEXT,
        taken_offset_min INTEGER,
        latitude_deg REAL,
        longitude_deg REAL,
        direction_deg REAL,
        direction_is_magnetic INTEGER CHECK (direction_is_magnetic IN (0, 1)),
        focal_length_mm REAL,
        kept_utc TEXT NOT NULL,
        caption TEXT NOT NULL,
        PRIMARY KEY (id),
        FOREIGN KEY(spot_id) REFERENCES spot (id) ON DELETE RESTRICT,
        UNIQUE (sha256)
    ) STRICT
    """,
    "CREATE INDEX ix_picture_spot_id ON picture (spot_id)",
    """
    CREATE TABLE device (
        id INTEGER NOT NULL,
        name TEXT NOT NULL,
        token_sha256 TEXT NOT NULL,
        paired_utc TEXT NOT NULL,
        last_seen_utc TEXT NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (token_sha256)
    ) STRICT
    """,
    """
    CREATE TABLE season_note (
        id INTEGER NOT NULL,
        wood_id INTEGER NOT NULL,
        day TEXT NOT NULL,
        stage TEXT NOT NULL,
        words TEXT NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (wood_id, day, stage, words),
        FOREIGN KEY(wood_id) REFERENCES wood (id) ON DELETE RESTRICT
    ) STRICT
    """,
)


def upgrade() -> None:
    """Add the tables."""
    for statement in STATEMENTS:
        op.execute(statement)
    op.execute("PRAGMA user_version = 4")
