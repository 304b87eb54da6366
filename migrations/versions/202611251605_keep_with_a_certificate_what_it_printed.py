"""Keep with a certificate the names that it printed: the check shows those, whatever the register says by then."""

import sqlalchemy as sa
from alembic import op

revision = "0015"
down_revision = "0014"
branch_labels = None
depends_on = None


def upgrade() -> None:
    # Certificates of earlier releases keep '': of them the register's names are shown.
    for name in ("vessel_name", "imo_number", "type_name"):
        op.add_column("certificate", sa.Column(name, sa.String(), server_default="", nullable=False))
