"""State the repeatability of an instrument: the standard deviation of repeats with it, and from how many readings."""

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("instrument", sa.Column("repeatability", sa.String(), nullable=True))
    op.add_column("instrument", sa.Column("repeatability_readings", sa.Integer(), nullable=True))
