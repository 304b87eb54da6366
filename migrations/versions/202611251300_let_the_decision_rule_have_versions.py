"""Let the decision rule have versions: what was a setting of the service becomes a record of the workshop."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None

# The default of ISO 14253-1, under which the first release judged unless its setting said otherwise.
_FIRST = """
INSERT INTO decision_rule (version, kind, guard_factor, person_name, reason)
VALUES (1, 'guard-band-by-uncertainty', '1', '', 'The default of ISO 14253-1')
"""


def upgrade() -> None:
    op.create_table(
        "decision_rule",
        sa.Column("version", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("guard_factor", sa.String(), nullable=True),
        sa.Column("probability", sa.String(), nullable=True),
        sa.Column("in_force_from", sa.String(27), nullable=True),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("person_name", sa.String(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("form_key", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_decision_rule_person_id")),
        sa.PrimaryKeyConstraint("version", name=op.f("pk_decision_rule")),
        sa.UniqueConstraint("form_key", name=op.f("uq_decision_rule_form_key")),
    )
    op.create_index("ix_decision_rule_person_id", "decision_rule", ["person_id"])
    op.execute(_FIRST)
    _append_only("decision_rule")


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
