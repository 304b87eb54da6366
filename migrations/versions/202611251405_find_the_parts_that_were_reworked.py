"""Find the parts that were reworked: which overhauls cut a seat is asked of one injector and of a whole type."""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None

_REWORKED = sa.text("kind = 'reworked'")


def upgrade() -> None:
    # An index of its own, made beside the table: the table keeps its triggers.
    op.create_index(
        "ix_entry_reworked",
        "entry",
        ["overhaul_id", "subject"],
        sqlite_where=_REWORKED,
        postgresql_where=_REWORKED,
    )
