"""Find the parts of one batch: every fitting with its batch or serial in the one spelling that is looked up."""

import json

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "fitted_batch",
        sa.Column("entry_id", sa.Integer(), nullable=False),
        sa.Column("batch_key", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["entry_id"], ["entry.id"], name=op.f("fk_fitted_batch_entry_id")),
        sa.PrimaryKeyConstraint("entry_id", name=op.f("pk_fitted_batch")),
    )
    op.create_index("ix_fitted_batch_batch_key", "fitted_batch", ["batch_key"])
    _fill()


def _fill() -> None:
    """From the fittings recorded so far, a thousand at a time: a workshop of years has many."""
    entry = sa.table("entry", sa.column("id"), sa.column("kind"), sa.column("payload"))
    fitted_batch = sa.table("fitted_batch", sa.column("entry_id"), sa.column("batch_key"))
    connection, last = op.get_bind(), 0
    while True:
        chosen = sa.select(entry.c.id, entry.c.payload).where(entry.c.kind == "fitted", entry.c.id > last)
        rows = connection.execute(chosen.order_by(entry.c.id).limit(1000)).all()
        if not rows:
            return
        last = rows[-1][0]
        keys = [{"entry_id": number, "batch_key": _key(json.loads(payload)["batch"])} for number, payload in rows]
        connection.execute(fitted_batch.insert(), keys)


def _key(batch: str) -> str:
    """As `service.records.recall_reads.batch_key` spelled it when this was written."""
    return " ".join(batch.split()).casefold()
