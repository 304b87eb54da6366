"""Take certificates back and issue others in their place: several for one overhaul, one of them in force at most."""

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None

_TABLES = ("certificate", "certificate_file", "certificate_end")


def upgrade() -> None:
    with op.batch_alter_table("certificate") as batch_op:
        batch_op.drop_constraint("uq_certificate_overhaul_id", type_="unique")
    op.create_index("ix_certificate_overhaul_id", "certificate", ["overhaul_id"])
    op.create_table(
        "certificate_end",
        sa.Column("certificate_id", sa.Integer(), nullable=False),
        sa.Column("replaced_by", sa.String(), server_default="", nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("person_name", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["certificate_id"], ["certificate.id"], name="fk_certificate_end_certificate_id"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_certificate_end_person_id"),
        sa.PrimaryKeyConstraint("certificate_id", name="pk_certificate_end"),
    )
    op.create_index("ix_certificate_end_person_id", "certificate_end", ["person_id"])
    for table in _TABLES:
        _append_only(table)


def _append_only(table: str) -> None:
    """Refuse every change to a row and every deletion, whoever asks."""
    if op.get_bind().dialect.name == "sqlite":
        for event in ("update", "delete"):
            op.execute(
                f"CREATE TRIGGER {table}_no_{event} BEFORE {event.upper()} ON {table} "
                f"BEGIN SELECT RAISE(ABORT, '{table} rows are never changed'); END"
            )
        return
    op.execute(
        f"CREATE FUNCTION {table}_is_append_only() RETURNS trigger LANGUAGE plpgsql AS "
        f"$$ BEGIN RAISE EXCEPTION '{table} rows are never changed'; END $$"
    )
    for event, each in (("update", "ROW"), ("delete", "ROW"), ("truncate", "STATEMENT")):
        op.execute(
            f"CREATE TRIGGER {table}_no_{event} BEFORE {event.upper()} ON {table} "
            f"FOR EACH {each} EXECUTE FUNCTION {table}_is_append_only()"
        )
