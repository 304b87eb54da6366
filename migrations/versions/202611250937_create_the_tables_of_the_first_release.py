"""Create the tables of the first release."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

_OPEN = sa.text("closed_at IS NULL")


def upgrade() -> None:
    op.create_table(
        "counter",
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("value", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_counter")),
    )
    op.create_table(
        "injector_type",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_injector_type")),
        sa.UniqueConstraint("code", name=op.f("uq_injector_type_code")),
    )
    op.create_table(
        "instrument",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("description", sa.String(), nullable=False),
        sa.Column("unit", sa.String(), nullable=False),
        sa.Column("expanded_uncertainty", sa.String(), nullable=False),
        sa.Column("calibration", sa.String(), nullable=False),
        sa.Column("due", sa.Date(), nullable=False),
        sa.Column("active", sa.Boolean(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_instrument")),
        sa.UniqueConstraint("code", name=op.f("uq_instrument_code")),
    )
    op.create_table(
        "operator",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("contact", sa.String(), nullable=False),
        sa.Column("standing_order", sa.String(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_operator")),
        sa.UniqueConstraint("name", name=op.f("uq_operator_name")),
    )
    op.create_table(
        "person",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("login", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.Column("operator_id", sa.Integer(), nullable=True),
        sa.Column("password_hash", sa.String(), nullable=False),
        sa.Column("active", sa.Boolean(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["operator_id"], ["operator.id"], name=op.f("fk_person_operator_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_person")),
        sa.UniqueConstraint("login", name=op.f("uq_person_login")),
    )
    op.create_table(
        "sheet_revision",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("injector_type_id", sa.Integer(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("content", sa.String(), nullable=False),
        sa.Column("approved_by", sa.String(), nullable=False),
        sa.Column("approved_at", sa.String(27), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["injector_type_id"], ["injector_type.id"], name=op.f("fk_sheet_revision_injector_type_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sheet_revision")),
        sa.UniqueConstraint("injector_type_id", "revision", name=op.f("uq_sheet_revision_injector_type_id_revision")),
    )
    op.create_table(
        "vessel",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("operator_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("imo_number", sa.String(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["operator_id"], ["operator.id"], name=op.f("fk_vessel_operator_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_vessel")),
        sa.UniqueConstraint("imo_number", name=op.f("uq_vessel_imo_number")),
    )
    with op.batch_alter_table("vessel", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_vessel_operator_id"), ["operator_id"], unique=False)

    op.create_table(
        "consignment",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("vessel_id", sa.Integer(), nullable=False),
        sa.Column("received_at", sa.String(27), nullable=False),
        sa.Column("due_on", sa.Date(), nullable=False),
        sa.Column("reference", sa.String(), nullable=False),
        sa.Column("remark", sa.String(), nullable=False),
        sa.Column("standing_order", sa.String(), server_default="", nullable=False),
        sa.Column("form_key", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["vessel_id"], ["vessel.id"], name=op.f("fk_consignment_vessel_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_consignment")),
        sa.UniqueConstraint("form_key", name=op.f("uq_consignment_form_key")),
        sa.UniqueConstraint("number", name=op.f("uq_consignment_number")),
    )
    with op.batch_alter_table("consignment", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_consignment_vessel_id"), ["vessel_id"], unique=False)

    op.create_table(
        "engine",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("vessel_id", sa.Integer(), nullable=False),
        sa.Column("designation", sa.String(), nullable=False),
        sa.Column("cylinders", sa.Integer(), nullable=False),
        sa.Column("injectors_per_cylinder", sa.Integer(), nullable=False),
        sa.Column("injector_type_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["injector_type_id"], ["injector_type.id"], name=op.f("fk_engine_injector_type_id")),
        sa.ForeignKeyConstraint(["vessel_id"], ["vessel.id"], name=op.f("fk_engine_vessel_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_engine")),
    )
    with op.batch_alter_table("engine", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_engine_injector_type_id"), ["injector_type_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_engine_vessel_id"), ["vessel_id"], unique=False)

    op.create_table(
        "journal",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("person_name", sa.String(), nullable=False),
        sa.Column("action", sa.String(), nullable=False),
        sa.Column("subject_kind", sa.String(), nullable=False),
        sa.Column("subject_id", sa.String(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("before", sa.Text(), nullable=False),
        sa.Column("after", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_journal_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_journal")),
    )
    with op.batch_alter_table("journal", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_journal_person_id"), ["person_id"], unique=False)
        batch_op.create_index("ix_journal_subject", ["subject_kind", "subject_id"], unique=False)

    op.create_table(
        "sign_in",
        sa.Column("token_hash", sa.String(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("created_at", sa.String(27), nullable=False),
        sa.Column("expires_at", sa.String(27), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_sign_in_person_id")),
        sa.PrimaryKeyConstraint("token_hash", name=op.f("pk_sign_in")),
    )
    with op.batch_alter_table("sign_in", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_sign_in_person_id"), ["person_id"], unique=False)

    op.create_table(
        "sign_in_failure",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("login_hash", sa.String(), nullable=False),
        sa.Column("at", sa.String(27), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sign_in_failure")),
    )
    with op.batch_alter_table("sign_in_failure", schema=None) as batch_op:
        batch_op.create_index("ix_sign_in_failure_at", ["at"], unique=False)
        batch_op.create_index("ix_sign_in_failure_login_hash_at", ["login_hash", "at"], unique=False)

    op.create_table(
        "unit",
        sa.Column("id", sa.Integer(), nullable=False),
        # Compared sign by sign, so that an index answers 'begins with' on PostgreSQL as well.
        sa.Column("serial", sa.String().with_variant(sa.String(collation="C"), "postgresql"), nullable=False),
        sa.Column("injector_type_id", sa.Integer(), nullable=False),
        sa.Column("vessel_id", sa.Integer(), nullable=False),
        sa.Column("condemned", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["injector_type_id"], ["injector_type.id"], name=op.f("fk_unit_injector_type_id")),
        sa.ForeignKeyConstraint(["vessel_id"], ["vessel.id"], name=op.f("fk_unit_vessel_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_unit")),
        sa.UniqueConstraint("serial", "injector_type_id", name=op.f("uq_unit_serial_injector_type_id")),
    )
    with op.batch_alter_table("unit", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_unit_injector_type_id"), ["injector_type_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_unit_vessel_id_serial"), ["vessel_id", "serial"], unique=False)

    op.create_table(
        "overhaul",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("unit_id", sa.Integer(), nullable=False),
        sa.Column("consignment_id", sa.Integer(), nullable=False),
        sa.Column("engine_id", sa.Integer(), nullable=False),
        sa.Column("sheet_id", sa.Integer(), nullable=False),
        sa.Column("cylinder", sa.Integer(), nullable=False),
        sa.Column("position", sa.String(), nullable=False),
        sa.Column("running_hours", sa.Integer(), nullable=True),
        sa.Column("fuel", sa.String(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("packing", sa.String(), nullable=False),
        sa.Column("remark", sa.String(), nullable=False),
        sa.Column("stage", sa.String(), nullable=False),
        sa.Column("held", sa.Boolean(), nullable=False),
        sa.Column("opened_at", sa.String(27), nullable=False),
        sa.Column("closed_at", sa.String(27), nullable=True),
        sa.Column("last_seq", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["consignment_id"], ["consignment.id"], name=op.f("fk_overhaul_consignment_id")),
        sa.ForeignKeyConstraint(["engine_id"], ["engine.id"], name=op.f("fk_overhaul_engine_id")),
        sa.ForeignKeyConstraint(["sheet_id"], ["sheet_revision.id"], name=op.f("fk_overhaul_sheet_id")),
        sa.ForeignKeyConstraint(["unit_id"], ["unit.id"], name=op.f("fk_overhaul_unit_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_overhaul")),
        sa.UniqueConstraint("number", name=op.f("uq_overhaul_number")),
    )
    with op.batch_alter_table("overhaul", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_overhaul_consignment_id"), ["consignment_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_overhaul_engine_id"), ["engine_id"], unique=False)
        batch_op.create_index(
            "ix_overhaul_open_consignment", ["consignment_id"], sqlite_where=_OPEN, postgresql_where=_OPEN
        )
        batch_op.create_index("ix_overhaul_open_stage", ["closed_at", "stage"], unique=False)
        batch_op.create_index(batch_op.f("ix_overhaul_sheet_id"), ["sheet_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_overhaul_unit_id"), ["unit_id"], unique=False)
        batch_op.create_index(
            "uq_overhaul_open_unit", ["unit_id"], unique=True, sqlite_where=_OPEN, postgresql_where=_OPEN
        )

    op.create_table(
        "certificate",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("number", sa.String(), nullable=False),
        sa.Column("token", sa.String(), nullable=False),
        sa.Column("overhaul_id", sa.Integer(), nullable=False),
        sa.Column("issued_at", sa.String(27), nullable=False),
        sa.Column("signed_by", sa.String(), nullable=False),
        sa.Column("sha256", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["overhaul_id"], ["overhaul.id"], name=op.f("fk_certificate_overhaul_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_certificate")),
        sa.UniqueConstraint("number", name=op.f("uq_certificate_number")),
        sa.UniqueConstraint("overhaul_id", name=op.f("uq_certificate_overhaul_id")),
        sa.UniqueConstraint("token", name=op.f("uq_certificate_token")),
    )
    op.create_table(
        "entry",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("overhaul_id", sa.Integer(), nullable=False),
        sa.Column("seq", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("subject", sa.String(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("verdict", sa.String(), nullable=False),
        sa.Column("sentence", sa.Text(), nullable=False),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("person_name", sa.String(), nullable=False),
        sa.Column("payload", sa.Text(), nullable=False),
        sa.Column("form_key", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["overhaul_id"], ["overhaul.id"], name=op.f("fk_entry_overhaul_id")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_entry_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_entry")),
        sa.UniqueConstraint("form_key", name=op.f("uq_entry_form_key")),
        sa.UniqueConstraint("overhaul_id", "seq", name=op.f("uq_entry_overhaul_id_seq")),
    )
    with op.batch_alter_table("entry", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_entry_person_id"), ["person_id"], unique=False)

    op.create_table(
        "certificate_file",
        sa.Column("certificate_id", sa.Integer(), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(
            ["certificate_id"], ["certificate.id"], name=op.f("fk_certificate_file_certificate_id")
        ),
        sa.PrimaryKeyConstraint("certificate_id", name=op.f("pk_certificate_file")),
    )
    op.create_table(
        "entry_instrument",
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("instrument_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["entry_id"], ["entry.id"], name=op.f("fk_entry_instrument_entry_id")),
        sa.ForeignKeyConstraint(["instrument_id"], ["instrument.id"], name=op.f("fk_entry_instrument_instrument_id")),
        sa.PrimaryKeyConstraint("entry_id", "instrument_id", name=op.f("pk_entry_instrument")),
    )
    with op.batch_alter_table("entry_instrument", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_entry_instrument_instrument_id"), ["instrument_id"], unique=False)
    for table in ("journal", "entry"):
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
    if not sqlite:  # SQLite knows no TRUNCATE; on PostgreSQL it passes by the triggers of rows.
        op.execute(
            f"CREATE TRIGGER {table}_no_truncate BEFORE TRUNCATE ON {table} "
            f"FOR EACH STATEMENT EXECUTE FUNCTION {table}_is_append_only()"
        )
