"""The third book: whether a spot stands under crowns, and crowns worked out from rasters."""

from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

STATEMENTS = (
    """
    ALTER TABLE spot ADD COLUMN
        under_canopy INTEGER DEFAULT 0 NOT NULL CHECK (under_canopy IN (0, 1))
    """,
    """
    CREATE TABLE crown_table (
        id INTEGER NOT NULL,
        spot_id INTEGER NOT NULL,
        seen_from TEXT NOT NULL,
        made_utc TEXT NOT NULL,
        azimuth_deg BLOB NOT NULL,
        altitude_deg BLOB NOT NULL,
        path_m BLOB NOT NULL,
        unseen_m BLOB NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (spot_id, seen_from),
        FOREIGN KEY(spot_id) REFERENCES spot (id) ON DELETE CASCADE
    ) STRICT
    """,
    """
    CREATE TABLE crown_parameter (
        id INTEGER NOT NULL,
        crown_table_id INTEGER NOT NULL,
        name TEXT NOT NULL,
        value TEXT NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (crown_table_id, name),
        FOREIGN KEY(crown_table_id) REFERENCES crown_table (id) ON DELETE CASCADE
    ) STRICT
    """,
)


def upgrade() -> None:
    """Add the column and the tables."""
    for statement in STATEMENTS:
        op.execute(statement)
    op.execute("PRAGMA user_version = 3")
