"""Settings from the environment, each with the prefix SPINDLEBOOK_."""

from decimal import Decimal
from pathlib import Path
from zoneinfo import ZoneInfo

from pydantic import Field, SecretStr
from pydantic_settings import BaseSettings, SettingsConfigDict

from service.documents.letterhead import Paper


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
    workshop_logo: Path | None = Field(None, description="Logo on certificates, a PNG or SVG file.")
    paper: Paper = Field(Paper.A4, description="Paper of certificates: a4 or us-letter.")
    time_zone: ZoneInfo = Field(
        ZoneInfo("UTC"), description="Where the workshop stands, Europe/Lisbon or the like: its days begin there."
    )
    session_hours: int = Field(12, ge=1, le=168, description="Hours until a signed-in person signs in again.")
    bench_temperature_c: Decimal = Field(
        Decimal(20), ge=-10, le=50, description="Temperature at the bench in °C where nobody measured it."
    )
    bench_temperature_within_k: Decimal = Field(
        Decimal(5), ge=0, le=20, description="How far, in K, the bench may be away from that."
    )
    form_limit_bytes: int = Field(1_000_000, ge=10_000, description="Largest form or JSON body accepted, in bytes.")
    signing_key: Path | None = Field(None, description="PKCS#12 file of the key that signs certificates.")
    signing_password: SecretStr = Field(SecretStr(""), description="Password of that file, or PIN of the token.")
    signing_password_file: Path | None = Field(None, description="File that holds this password on its first line.")
    token_module: Path | None = Field(None, description="Driver of a PKCS#11 token that keeps the signing key.")
    token_label: str = Field("", description="Label of the token.")
    token_key: str = Field("", description="Label of the key and of its certificate on the token.")
    authority: Path | None = Field(None, description="The workshop's public certificate; empty: the key file's.")
    revoked_keys: Path | None = Field(None, description="The workshop's list of revoked keys.")
    time_stamp_url: str = Field("", description="Time-stamp server (RFC 3161) that confirms when a key signed.")
    time_stamp_roots: Path | None = Field(None, description="Certificates that the time-stamp server is believed by.")
    journal_head_to: str = Field("", description="Address outside that the journal's head is sent to.")
    mail_server: SecretStr = Field(SecretStr(""), description="smtp://, smtp+starttls:// or smtps:// address.")
    mail_from: str = Field("", description="Sender of what is mailed.")
    demo: bool = Field(False, description="Marks every page as the demo with its invented workshop.")

    @property
    def url(self) -> str:
        """The database address in force."""
        return self.database_url or f"sqlite:///{self.data_dir / 'spindlebook.sqlite3'}"

    @property
    def signing_word(self) -> str:
        """The signing key's password, from its file where one is named."""
        if self.signing_password_file is not None:
            return self.signing_password_file.read_text().splitlines()[0]
        return self.signing_password.get_secret_value()

    @property
    def secure(self) -> bool:
        """Whether people reach the service by https: cookies are then marked so."""
        return self.public_origin.startswith("https://")
