"""Keep every calibration of an instrument: its columns become the first row of its history."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

# What the first release knew of a calibration, and nothing more: no day, no laboratory, no points. Its k was 2.
_MOVE = """
INSERT INTO calibration (instrument_id, calibrated_on, due, certificate, laboratory, expanded_uncertainty, k, found,
                         points, remark, recorded_at, person_id, person_name)
SELECT id, NULL, due, calibration, '', expanded_uncertainty, '2', 'not-stated', '[]',
       'Taken over from the first release, which recorded the due date only.', '2026-11-25T00:00:00.000000Z', NULL, ''
FROM instrument ORDER BY id
"""


def upgrade() -> None:
    _create_calibrations()
    op.create_table(
        "gauge_pin",
        sa.Column("instrument_id", sa.Integer(), nullable=False),
        sa.Column("nominal", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["instrument_id"], ["instrument.id"], name=op.f("fk_gauge_pin_instrument_id")),
        sa.PrimaryKeyConstraint("instrument_id", "nominal", name=op.f("pk_gauge_pin")),
    )
    op.create_table(
        "due_feed",
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("token_hash", sa.String(), nullable=False),
        sa.Column("created_at", sa.String(27), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_due_feed_person_id")),
        sa.PrimaryKeyConstraint("person_id", name=op.f("pk_due_feed")),
    )
    op.create_index("uq_due_feed_token_hash", "due_feed", ["token_hash"], unique=True)
    op.execute(_MOVE)
    _change_instruments()
    for table in ("calibration", "calibration_scan"):
        _append_only(table)


def _create_calibrations() -> None:
    op.create_table(
        "calibration",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("instrument_id", sa.Integer(), nullable=False),
        sa.Column("calibrated_on", sa.Date(), nullable=True),
        sa.Column("due", sa.Date(), nullable=False),
        sa.Column("certificate", sa.String(), nullable=False),
        sa.Column("laboratory", sa.String(), nullable=False),
        sa.Column("expanded_uncertainty", sa.String(), nullable=False),
        sa.Column("k", sa.String(), nullable=False),
        sa.Column("found", sa.String(), nullable=False),
        sa.Column("points", sa.Text(), nullable=False),
        sa.Column("remark", sa.Text(), nullable=False),
        sa.Column("recorded_at", sa.String(27), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("person_name", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["instrument_id"], ["instrument.id"], name=op.f("fk_calibration_instrument_id")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_calibration_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_calibration")),
    )
    op.create_index("ix_calibration_instrument", "calibration", ["instrument_id", "calibrated_on"])
    op.create_index("ix_calibration_person_id", "calibration", ["person_id"])
    op.create_table(
        "calibration_scan",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("calibration_id", sa.Integer(), nullable=False),
        sa.Column("media_type", sa.String(), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("sha256", sa.String(), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.Column("recorded_at", sa.String(27), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("person_name", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["calibration_id"], ["calibration.id"], name=op.f("fk_calibration_scan_calibration_id")
        ),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_calibration_scan_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_calibration_scan")),
    )
    op.create_index("ix_calibration_scan_calibration_id", "calibration_scan", ["calibration_id"])
    op.create_index("ix_calibration_scan_person_id", "calibration_scan", ["person_id"])


def _change_instruments() -> None:
    """Plain columns added and dropped in place: no table is rebuilt, so nothing that refers to it is touched."""
    for name in ("lower", "upper", "resolution"):
        op.add_column("instrument", sa.Column(name, sa.String(), nullable=True))
    for name, default in (("location", ""), ("state", "in-use"), ("state_reason", "")):
        op.add_column("instrument", sa.Column(name, sa.String(), server_default=default, nullable=False))
    op.execute(
        "UPDATE instrument SET state = 'withdrawn', state_reason = 'Withdrawn before reasons were recorded' "
        "WHERE NOT active"
    )
    for name in ("expanded_uncertainty", "calibration", "due", "active"):
        op.drop_column("instrument", name)


def _append_only(table: str) -> None:
    """Refuse every change to a row and every deletion, whoever asks."""
    sqlite = op.get_bind().dialect.name == "sqlite"
    if not sqlite:
        op.execute(
            f"CREATE FUNCTION {table}_is_append_only() RETURNS trigger LANGUAGE plpgsql AS "
            f"$$ BEGIN RAISE EXCEPTION '{table} rows are never changed'; END $$"
        )
    for event in ("update", "delete"):
        name = f"{table}_no_{event}"
        if sqlite:
            op.execute(
                f"CREATE TRIGGER {name} BEFORE {event.upper()} ON {table} "
                f"BEGIN SELECT RAISE(ABORT, '{table} rows are never changed'); END"
            )
        else:
            op.execute(
                f"CREATE TRIGGER {name} BEFORE {event.upper()} ON {table} "
                f"FOR EACH ROW EXECUTE FUNCTION {table}_is_append_only()"
            )
    if not sqlite:
        op.execute(
            f"CREATE TRIGGER {table}_no_truncate BEFORE TRUNCATE ON {table} "
            f"FOR EACH STATEMENT EXECUTE FUNCTION {table}_is_append_only()"
        )
