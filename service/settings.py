"""Settings from the environment, each with the prefix SPINDLEBOOK_."""

from pathlib import Path

from pydantic import Field
from pydantic_settings import BaseSettings, SettingsConfigDict


class Settings(BaseSettings):
    """What a workshop sets; README.md lists every one."""

    model_config = SettingsConfigDict(env_prefix="SPINDLEBOOK_")

    data_dir: Path = Field(Path(".spindlebook"), description="Folder of the embedded database.")
    database_url: str = Field(
        "",
        description="SQLAlchemy address of a PostgreSQL database, postgresql+psycopg://…; empty: SQLite in data_dir.",
    )
    public_origin: str = Field(
        "http://127.0.0.1:8000",
        description="Scheme, host and port under which people reach the service; forms from elsewhere are refused.",
    )
    workshop_name: str = Field("Workshop", description="Name printed on pages, labels and certificates.")
    workshop_address: str = Field("", description="Address printed on certificates.")
    session_hours: int = Field(12, ge=1, le=168, description="Hours until a signed-in person signs in again.")
    form_limit_bytes: int = Field(1_000_000, ge=10_000, description="Largest form or JSON body accepted, in bytes.")
    demo: bool = Field(False, description="Marks every page as the demo with its invented workshop.")

    @property
    def url(self) -> str:
        """The database address in force."""
        return self.database_url or f"sqlite:///{self.data_dir / 'spindlebook.sqlite3'}"

    @property
    def secure(self) -> bool:
        """Whether people reach the service by https: cookies are then marked so."""
        return self.public_origin.startswith("https://")
