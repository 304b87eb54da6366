"""Opening the door: settings that follow the port, start-up checks, the server itself."""

import os
import socket
from typing import TYPE_CHECKING

import typer

from service.metrology.errors import DomainError

if TYPE_CHECKING:
    from service.documents.signing.keyring import Keyring
    from service.pages.sign_in import DemoLogin
    from service.records.store import Store
    from service.settings import Settings

LOOPBACK = ("127.0.0.1", "localhost", "::1")


class NotServed(DomainError):
    """The service does not start, and why."""


def settings_at(host: str, port: int) -> "Settings":
    """The settings in force; on this machine alone the public origin follows the port unless it is set."""
    from service.settings import Settings

    if host in LOOPBACK and "SPINDLEBOOK_PUBLIC_ORIGIN" not in os.environ:
        return Settings(public_origin=local_origin(port))
    return Settings()


def local_origin(port: int) -> str:
    """How a browser on this machine names the service; `localhost` is taken as well."""
    return f"http://127.0.0.1:{port}"


def tell_findings(store: "Store", keyring: "Keyring | None" = None, *, quiet: bool = False) -> None:
    """Print what is worth knowing, unless quiet. Raises NotServed with the hint where a finding is fatal."""
    from service.startup_checks import key_findings, setting_findings, startup_findings

    findings = (*startup_findings(store), *setting_findings(os.environ), *(key_findings(keyring) if keyring else ()))
    fatal = [finding for finding in findings if finding.fatal]
    if fatal:
        raise NotServed(fatal[0].code, " ".join(f"{one.sentence} {one.hint}." for one in fatal))
    for finding in findings:
        if not quiet:
            typer.echo(f"{finding.sentence} {finding.hint}", err=True)
    if not quiet and not store.rows("SELECT 1 FROM person LIMIT 1"):
        typer.echo("Nobody can sign in yet. Run: spindlebook user add LOGIN --name NAME --role manager", err=True)


def refuse_taken_port(host: str, port: int) -> None:
    """Raise NotServed where another program listens there already."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError as error:
            sentence = f"{host}:{port} cannot be listened on ({error.strerror}): choose another with --port."
            raise NotServed("port", sentence) from error


def run_server(settings: "Settings", host: str, port: int, logins: "tuple[DemoLogin, ...]" = ()) -> None:
    """Serve until interrupted; `logins` are those that the demonstration's sign-in page shows."""
    import uvicorn

    from service.app import create_app

    app = create_app(settings)
    app.state.demo_logins = logins
    uvicorn.run(app, host=host, port=port, log_level="warning", server_header=False)
