"""The fifth book: what was surveyed at a spot, what is wished of the picture, stands, anchors."""

from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

STATEMENTS = (
    """
    CREATE TABLE survey (
        id INTEGER NOT NULL,
        spot_id INTEGER NOT NULL,
        rise_right_frac REAL NOT NULL,
        rise_forward_frac REAL NOT NULL,
        scale_doubt_frac REAL NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (spot_id),
        FOREIGN KEY(spot_id) REFERENCES spot (id) ON DELETE RESTRICT
    ) STRICT
    """,
    """
    CREATE TABLE survey_trunk (
        id INTEGER NOT NULL,
        survey_id INTEGER NOT NULL,
        place INTEGER NOT NULL,
        name TEXT NOT NULL,
        x_m REAL NOT NULL,
        y_m REAL NOT NULL,
        width_m REAL NOT NULL,
        height_m REAL NOT NULL,
        lean_right_deg REAL NOT NULL,
        lean_away_deg REAL NOT NULL,
        role TEXT NOT NULL,
        doubt_distance_m REAL NOT NULL,
        doubt_angle_deg REAL NOT NULL,
        doubt_width_m REAL NOT NULL,
        how TEXT NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (survey_id, place),
        FOREIGN KEY(survey_id) REFERENCES survey (id) ON DELETE CASCADE
    ) STRICT
    """,
    """
    CREATE TABLE survey_segment (
        id INTEGER NOT NULL,
        survey_id INTEGER NOT NULL,
        place INTEGER NOT NULL,
        name TEXT NOT NULL,
        start_x_m REAL NOT NULL,
        start_y_m REAL NOT NULL,
        start_z_m REAL NOT NULL,
        end_x_m REAL NOT NULL,
        end_y_m REAL NOT NULL,
        end_z_m REAL NOT NULL,
        width_m REAL NOT NULL,
        role TEXT NOT NULL,
        doubt_distance_m REAL NOT NULL,
        doubt_angle_deg REAL NOT NULL,
        doubt_width_m REAL NOT NULL,
        how TEXT NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (survey_id, place),
        FOREIGN KEY(survey_id) REFERENCES survey (id) ON DELETE CASCADE
    ) STRICT
    """,
    """
    CREATE TABLE survey_hole (
        id INTEGER NOT NULL,
        survey_id INTEGER NOT NULL,
        place INTEGER NOT NULL,
        name TEXT NOT NULL,
        angle_deg REAL NOT NULL,
        altitude_deg REAL NOT NULL,
        width_deg REAL NOT NULL,
        height_deg REAL NOT NULL,
        distance_m REAL NOT NULL,
        how TEXT NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (survey_id, place),
        FOREIGN KEY(survey_id) REFERENCES survey (id) ON DELETE CASCADE
    ) STRICT
    """,
    """
    CREATE TABLE survey_closed (
        id INTEGER NOT NULL,
        survey_id INTEGER NOT NULL,
        place INTEGER NOT NULL,
        name TEXT NOT NULL,
        centre_x_m REAL NOT NULL,
        centre_y_m REAL NOT NULL,
        radius_m REAL NOT NULL,
        how TEXT NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (survey_id, place),
        FOREIGN KEY(survey_id) REFERENCES survey (id) ON DELETE CASCADE
    ) STRICT
    """,
    """
    CREATE TABLE survey_closed_corner (
        id INTEGER NOT NULL,
        survey_closed_id INTEGER NOT NULL,
        place INTEGER NOT NULL,
        x_m REAL NOT NULL,
        y_m REAL NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (survey_closed_id, place),
        FOREIGN KEY(survey_closed_id) REFERENCES survey_closed (id) ON DELETE CASCADE
    ) STRICT
    """,
    """
    CREATE TABLE framing (
        id INTEGER NOT NULL,
        spot_id INTEGER NOT NULL,
        framing_json TEXT NOT NULL,
        reach_json TEXT NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (spot_id),
        FOREIGN KEY(spot_id) REFERENCES spot (id) ON DELETE RESTRICT
    ) STRICT
    """,
    """
    CREATE TABLE stand (
        id INTEGER NOT NULL,
        spot_id INTEGER NOT NULL,
        kept_utc TEXT NOT NULL,
        x_m REAL NOT NULL,
        y_m REAL NOT NULL,
        z_m REAL NOT NULL,
        focal_length_mm REAL NOT NULL,
        yaw_deg REAL NOT NULL,
        pitch_deg REAL NOT NULL,
        smallest_gap_deg REAL,
        pair_left TEXT NOT NULL,
        pair_right TEXT NOT NULL,
        words TEXT NOT NULL,
        PRIMARY KEY (id),
        FOREIGN KEY(spot_id) REFERENCES spot (id) ON DELETE RESTRICT
    ) STRICT
    """,
    "CREATE INDEX ix_stand_spot_id ON stand (spot_id)",
    """
    CREATE TABLE anchor_transit (
        id INTEGER NOT NULL,
        spot_id INTEGER NOT NULL,
        place INTEGER NOT NULL,
        near TEXT NOT NULL,
        near_side TEXT NOT NULL,
        far TEXT NOT NULL,
        far_side TEXT NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (spot_id, place),
        FOREIGN KEY(spot_id) REFERENCES spot (id) ON DELETE CASCADE
    ) STRICT
    """,
    """
    CREATE TABLE anchor_distance (
        id INTEGER NOT NULL,
        spot_id INTEGER NOT NULL,
        place INTEGER NOT NULL,
        name TEXT NOT NULL,
        distance_m REAL NOT NULL,
        doubt_m REAL NOT NULL,
        how TEXT NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (spot_id, place),
        FOREIGN KEY(spot_id) REFERENCES spot (id) ON DELETE CASCADE
    ) STRICT
    """,
    """
    CREATE TABLE anchor_lost (
        id INTEGER NOT NULL,
        spot_id INTEGER NOT NULL,
        place INTEGER NOT NULL,
        name TEXT NOT NULL,
        noted_on TEXT NOT NULL,
        PRIMARY KEY (id),
        UNIQUE (spot_id, place),
        FOREIGN KEY(spot_id) REFERENCES spot (id) ON DELETE CASCADE
    ) STRICT
    """,
)


def upgrade() -> None:
    """Add the tables."""
    for statement in STATEMENTS:
        op.execute(statement)
    op.execute("PRAGMA user_version = 5")
