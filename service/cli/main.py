"""The `spindlebook` command. Heavy libraries load inside each command, so that `--help` answers at once."""

from pathlib import Path
from typing import Annotated

import typer

from service.cli.calc import OneSentenceGroup, calc
from service.cli.journal import journal
from service.cli.keys import keys
from service.cli.people import people
from service.cli.sheets import sheets
from service.cli.verify import verify

app = typer.Typer(
    name="spindlebook",
    add_completion=False,
    cls=OneSentenceGroup,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    help="Overhaul records of fuel injectors of large marine diesel engines.",
)
app.add_typer(calc)
app.add_typer(people)
app.add_typer(sheets)
app.add_typer(journal)
app.add_typer(keys)
app.command("verify")(verify)
app.add_typer(journal)

Port = Annotated[int, typer.Option(min=1, max=65535, help="Port to listen on.")]


@app.command("serve")
def serve(
    host: Annotated[str, typer.Option(help="Address to listen on; 0.0.0.0 for the whole network.")] = "127.0.0.1",
    port: Port = 8000,
) -> None:
    """Serve the workshop, after checking that its database is fit for it."""
    from service.app import make_shop
    from service.cli.serving import refuse_taken_port, run_server, settings_at, tell_findings

    settings = settings_at(host, port)
    shop = make_shop(settings)
    try:
        tell_findings(shop.store, shop.keyring)
    finally:
        shop.store.close()
    refuse_taken_port(host, port)
    typer.echo(f"Serving {settings.workshop_name} at {settings.public_origin}")
    run_server(settings, host, port)


@app.command("migrate")
def migrate() -> None:
    """Bring the database to the schema of this release; makes it where there is none."""
    from service.records.migrations import current_revision, migrate
    from service.records.store import Store
    from service.settings import Settings

    store = Store(Settings().url)
    try:
        migrate(store)
        typer.echo(f"The database is at revision {current_revision(store)}.")
    finally:
        store.close()


@app.command("demo")
def demo(
    port: Port = 8000,
    folder: Annotated[Path, typer.Option("--dir", help="Folder of the demonstration's own database.")] = Path(
        ".spindlebook/demo"
    ),
    keep: Annotated[bool, typer.Option("--keep", help="Go on with the demonstration that is there.")] = False,
    serve_it: Annotated[bool, typer.Option("--serve/--no-serve", help="Serve it, or only fill the database.")] = True,
    units: Annotated[int, typer.Option(min=0, max=5_000_000, help="Add so many injectors more, to try speed.")] = 0,
) -> None:
    """Fill a database with an invented workshop, print its logins, and serve it on this machine."""
    from service.cli.demonstration import demonstrate

    demonstrate(port=port, folder=folder, keep=keep, serve_it=serve_it, units=units)


def run() -> None:
    """Entry point of the console script."""
    app()


if __name__ == "__main__":
    run()
