"""Keep photographs of an overhaul and the holes measured in them."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "photograph",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("overhaul_id", sa.Integer(), nullable=False),
        sa.Column("subject", sa.String(), nullable=False),
        sa.Column("media_type", sa.String(), nullable=False),
        sa.Column("width", sa.Integer(), nullable=False),
        sa.Column("height", sa.Integer(), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("sha256", sa.String(), nullable=False),
        sa.Column("sent_sha256", sa.String(), nullable=False),
        sa.Column("remark", sa.Text(), nullable=False),
        *_who_and_when("photograph"),
        sa.ForeignKeyConstraint(["overhaul_id"], ["overhaul.id"], name=op.f("fk_photograph_overhaul_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_photograph")),
        sa.UniqueConstraint("overhaul_id", "sent_sha256", name=op.f("uq_photograph_overhaul_id_sent_sha256")),
    )
    op.create_index("ix_photograph_person_id", "photograph", ["person_id"])
    op.create_table(
        "photograph_file",
        sa.Column("photograph_id", sa.Integer(), nullable=False),
        sa.Column("whole", sa.LargeBinary(), nullable=False),
        sa.Column("shown", sa.LargeBinary(), nullable=False),
        sa.Column("thumbnail", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(["photograph_id"], ["photograph.id"], name=op.f("fk_photograph_file_photograph_id")),
        sa.PrimaryKeyConstraint("photograph_id", name=op.f("pk_photograph_file")),
    )
    op.create_table(
        "hole_evaluation",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("photograph_id", sa.Integer(), nullable=False),
        sa.Column("hole", sa.Integer(), nullable=False),
        sa.Column("scale", sa.Text(), nullable=False),
        sa.Column("evaluation", sa.Text(), nullable=False),
        sa.Column("accepted", sa.Boolean(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        *_who_and_when("hole_evaluation"),
        sa.ForeignKeyConstraint(["photograph_id"], ["photograph.id"], name=op.f("fk_hole_evaluation_photograph_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_hole_evaluation")),
    )
    op.create_index("ix_hole_evaluation_photograph_id", "hole_evaluation", ["photograph_id"])
    op.create_index("ix_hole_evaluation_person_id", "hole_evaluation", ["person_id"])
    for table in ("photograph", "photograph_file", "hole_evaluation"):
        _append_only(table)


def _who_and_when(table: str) -> tuple[sa.Column | sa.Constraint, ...]:
    return (
        sa.Column("recorded_at", sa.String(27), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("person_name", sa.String(), nullable=False),
        sa.Column("form_key", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f(f"fk_{table}_person_id")),
        sa.UniqueConstraint("form_key", name=op.f(f"uq_{table}_form_key")),
    )


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
