"""Find the overhauls whose discs were changed: what a disc does to the pressure is read across a whole type."""

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None

_CHANGED = sa.text("kind = 'discs-changed'")


def upgrade() -> None:
    # An index of its own, made beside the table: the table keeps its triggers.
    op.create_index(
        "ix_entry_discs_changed", "entry", ["overhaul_id"], sqlite_where=_CHANGED, postgresql_where=_CHANGED
    )
