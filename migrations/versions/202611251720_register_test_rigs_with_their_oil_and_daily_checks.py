"""Register test rigs: gauges, fillings of oil and daily checks, without which a bench run releases nothing."""

import sqlalchemy as sa
from alembic import op

revision = "0016"
down_revision = "0015"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "test_rig",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("description", sa.String(), nullable=False),
        sa.Column("unit", sa.String(), nullable=False),
        sa.Column("line_pressure_bar", sa.String(), nullable=False),
        sa.Column("line_hold_s", sa.Integer(), nullable=False),
        sa.Column("line_drop_max_bar", sa.String(), nullable=False),
        sa.Column("springs", sa.Integer(), nullable=False),
        sa.Column("spring_lower_n", sa.String(), nullable=True),
        sa.Column("spring_upper_n", sa.String(), nullable=True),
        sa.Column("oil_days", sa.Integer(), nullable=True),
        sa.Column("volume_cm3", sa.String(), nullable=True),
        sa.Column("in_use", sa.Boolean(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_test_rig")),
        sa.UniqueConstraint("code", name=op.f("uq_test_rig_code")),
    )
    op.create_table(
        "test_rig_gauge",
        sa.Column("rig_id", sa.Integer(), nullable=False),
        sa.Column("instrument_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["rig_id"], ["test_rig.id"], name=op.f("fk_test_rig_gauge_rig_id")),
        sa.ForeignKeyConstraint(["instrument_id"], ["instrument.id"], name=op.f("fk_test_rig_gauge_instrument_id")),
        sa.PrimaryKeyConstraint("rig_id", "instrument_id", name=op.f("pk_test_rig_gauge")),
    )
    op.create_index("ix_test_rig_gauge_instrument_id", "test_rig_gauge", ["instrument_id"])
    _appended(
        "test_rig_oil",
        "changed_on",
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("viscosity_mm2_s", sa.String(), nullable=False),
        sa.Column("bulk_modulus_gpa", sa.String(), nullable=True),
        sa.Column("changed_on", sa.Date(), nullable=False),
        sa.Column("recorded_at", sa.String(27), nullable=False),
    )
    _appended(
        "test_rig_check",
        "checked_on",
        sa.Column("checked_on", sa.Date(), nullable=False),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("good", sa.Boolean(), nullable=False),
        sa.Column("content", sa.Text(), nullable=False),
    )


def _appended(table: str, day: str, *columns: sa.Column) -> None:
    """A table of a rig's rows by day, that name who made them and are never changed."""
    op.create_table(
        table,
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("rig_id", sa.Integer(), nullable=False),
        *columns,
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("person_name", sa.String(), nullable=False),
        sa.Column("form_key", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["rig_id"], ["test_rig.id"], name=op.f(f"fk_{table}_rig_id")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f(f"fk_{table}_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f(f"pk_{table}")),
        sa.UniqueConstraint("form_key", name=op.f(f"uq_{table}_form_key")),
    )
    op.create_index(f"ix_{table}_rig", table, ["rig_id", day])
    op.create_index(f"ix_{table}_person_id", table, ["person_id"])
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
