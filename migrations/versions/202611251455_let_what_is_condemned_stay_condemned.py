"""Let what is condemned stay condemned: the database itself refuses to take it back."""

from alembic import op

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None

_WORDS = "a condemned injector stays condemned"


def upgrade() -> None:
    if op.get_bind().dialect.name == "sqlite":
        op.execute(
            "CREATE TRIGGER unit_stays_condemned BEFORE UPDATE OF condemned ON unit "
            f"WHEN OLD.condemned AND NOT NEW.condemned BEGIN SELECT RAISE(ABORT, '{_WORDS}'); END"
        )
        return
    op.execute(
        "CREATE FUNCTION unit_stays_condemned() RETURNS trigger LANGUAGE plpgsql AS "
        f"$$ BEGIN RAISE EXCEPTION '{_WORDS}'; END $$"
    )
    op.execute(
        "CREATE TRIGGER unit_stays_condemned BEFORE UPDATE OF condemned ON unit "
        "FOR EACH ROW WHEN (OLD.condemned AND NOT NEW.condemned) EXECUTE FUNCTION unit_stays_condemned()"
    )
