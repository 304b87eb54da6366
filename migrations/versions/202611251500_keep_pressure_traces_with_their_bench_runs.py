"""Keep pressure traces with their bench runs: the logger's bytes, how they are read, which events were rejected."""

import sqlalchemy as sa
from alembic import op

revision = "0014"
down_revision = "0013"
branch_labels = None
depends_on = None


def upgrade() -> None:
    _create(
        "bench_trace",
        "overhaul",
        sa.Column("run", sa.Integer(), nullable=False),
        sa.Column("step", sa.String(), nullable=False),
        sa.Column("asked", sa.Text(), nullable=False),
    )
    _create(
        "bench_trace_piece",
        "bench_trace",
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("sha256", sa.String(), nullable=False),
    )
    _create("bench_trace_reading", "bench_trace", sa.Column("asked", sa.Text(), nullable=False))
    _create(
        "bench_trace_rejection",
        "bench_trace",
        sa.Column("event", sa.String(), nullable=False),
        sa.Column("at_s", sa.String(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
    )


def _create(table: str, belongs_to: str, *columns: sa.Column) -> None:
    """A table of rows that belong to another's, that name who made them and when, and that are never changed."""
    owner = "trace_id" if belongs_to == "bench_trace" else f"{belongs_to}_id"
    op.create_table(
        table,
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column(owner, sa.Integer(), nullable=False),
        *columns,
        sa.Column("recorded_at", sa.String(27), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("person_name", sa.String(), nullable=False),
        sa.Column("form_key", sa.String(), nullable=False),
        sa.ForeignKeyConstraint([owner], [f"{belongs_to}.id"], name=op.f(f"fk_{table}_{owner}")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f(f"fk_{table}_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f(f"pk_{table}")),
        sa.UniqueConstraint("form_key", name=op.f(f"uq_{table}_form_key")),
    )
    for column in (owner, "person_id"):
        op.create_index(f"ix_{table}_{column}", table, [column])
    _append_only(table)


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
