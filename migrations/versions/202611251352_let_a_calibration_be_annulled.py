"""Let a calibration be annulled: it stays as it was recorded, and a row beside it says why it no longer counts."""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

_TABLE = "calibration_annulment"


def upgrade() -> None:
    op.create_table(
        _TABLE,
        sa.Column("calibration_id", sa.Integer(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("recorded_at", sa.String(27), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("person_name", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["calibration_id"], ["calibration.id"], name=op.f(f"fk_{_TABLE}_calibration_id")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f(f"fk_{_TABLE}_person_id")),
        sa.PrimaryKeyConstraint("calibration_id", name=op.f(f"pk_{_TABLE}")),
    )
    op.create_index(f"ix_{_TABLE}_person_id", _TABLE, ["person_id"])
    _append_only()


def _append_only() -> None:
    """Refuse every change to a row and every deletion, whoever asks."""
    if op.get_bind().dialect.name == "sqlite":
        for event in ("update", "delete"):
            op.execute(
                f"CREATE TRIGGER {_TABLE}_no_{event} BEFORE {event.upper()} ON {_TABLE} "
                f"BEGIN SELECT RAISE(ABORT, '{_TABLE} rows are never changed'); END"
            )
        return
    op.execute(
        f"CREATE FUNCTION {_TABLE}_is_append_only() RETURNS trigger LANGUAGE plpgsql AS "
        f"$$ BEGIN RAISE EXCEPTION '{_TABLE} rows are never changed'; END $$"
    )
    for event, each in (("update", "ROW"), ("delete", "ROW"), ("truncate", "STATEMENT")):
        op.execute(
            f"CREATE TRIGGER {_TABLE}_no_{event} BEFORE {event.upper()} ON {_TABLE} "
            f"FOR EACH {each} EXECUTE FUNCTION {_TABLE}_is_append_only()"
        )
