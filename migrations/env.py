"""Runs migrations on SQLite and PostgreSQL, each in one transaction, with foreign keys checked afterwards on SQLite."""

from alembic import context
from sqlalchemy import Connection, Engine, text
from sqlmodel import SQLModel

import service.records.tables  # noqa: F401  (fills the metadata)


def _checked(connection: Connection) -> None:
    if connection.dialect.name == "sqlite":
        broken = connection.execute(text("PRAGMA foreign_key_check")).fetchall()
        if broken:
            raise RuntimeError(f"foreign keys are broken after the migration: {broken[:5]}")


def _run(engine: Engine) -> None:
    with engine.connect() as connection:
        if connection.dialect.name == "sqlite":
            # Outside any transaction: inside one this pragma is ignored, and a rebuilt table would cascade.
            connection.connection.execute("PRAGMA foreign_keys=OFF")  # type: ignore[attr-defined]
        else:
            connection.execute(text("SET lock_timeout = '10s'"))
            connection.execute(text("SET statement_timeout = '600s'"))
            connection.commit()
        context.configure(
            connection=connection,
            target_metadata=SQLModel.metadata,
            transactional_ddl=True,
            transaction_per_migration=True,
            render_as_batch=True,
            on_version_apply=lambda ctx, **_: _checked(ctx.connection),
        )
        with context.begin_transaction():
            context.run_migrations()


_run(context.config.attributes["engine"])
