"""`spindlebook demo`: a database of its own with an invented workshop, its logins on the screen."""

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import typer
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeElapsedColumn
from rich.table import Table

from service.cli.serving import local_origin, refuse_taken_port, run_server

if TYPE_CHECKING:
    from service.pages.sign_in import DemoLogin
    from service.records.store import Store
    from service.settings import Settings

HOST = "127.0.0.1"
_FILE, _FILLING = "spindlebook.sqlite3", "filling.sqlite3"


def demonstrate(*, port: int, folder: Path, keep: bool, serve_it: bool, units: int) -> None:
    """Fill (or keep) the demonstration's database, load more units if asked, print the logins, serve."""
    from service.records.migrations import migrate

    if serve_it:
        refuse_taken_port(HOST, port)
    settings = demo_settings(folder, port)
    with _progress() as advance:
        if not (keep and (folder / _FILE).exists()):
            _fill_afresh(folder, settings.public_origin, advance)
        with _opened(folder / _FILE) as store:
            migrate(store)
            if units:
                _load(store, units, advance)
    _print_logins(settings, serve_it=serve_it)
    if serve_it:
        run_server(settings, HOST, port, _logins())


def demo_settings(folder: Path, port: int) -> "Settings":
    """Settings of the demonstration: a SQLite file of its own, whatever database the environment names."""
    from pydantic import SecretStr

    from seed_demo.cast import WORKSHOP_ADDRESS, WORKSHOP_NAME
    from seed_demo.keys import key_places
    from service.settings import Settings

    keys = key_places(folder)
    return Settings(
        data_dir=folder,
        database_url="",
        public_origin=os.environ.get("SPINDLEBOOK_PUBLIC_ORIGIN") or local_origin(port),
        workshop_name=WORKSHOP_NAME,
        workshop_address=WORKSHOP_ADDRESS,
        signing_key=keys.key_file,
        signing_password=SecretStr(keys.password),
        authority=keys.authority,
        demo=True,
    )


def _fill_afresh(folder: Path, public_origin: str, advance: "Advance") -> None:
    """Fill under another name and rename at the end: what was interrupted is never taken for the demonstration."""
    from service.records.migrations import migrate

    _remove(folder / _FILLING)
    with _opened(folder / _FILLING) as store:
        store.hurry()
        migrate(store)
        _seed(store, folder, public_origin, advance)
    with (folder / _FILLING).open("rb+") as filled:
        os.fsync(filled.fileno())  # what was filled in a hurry is on the disk before it gets its name
    _remove(folder / _FILE)
    (folder / _FILLING).rename(folder / _FILE)


def _remove(file: Path) -> None:
    """Remove a database's own files and nothing else: the folder may be anybody's."""
    for ending in ("", "-wal", "-shm"):
        file.with_name(f"{file.name}{ending}").unlink(missing_ok=True)


@contextmanager
def _opened(file: Path) -> "Iterator[Store]":
    from service.records.store import Store

    store = Store(f"sqlite:///{file}")
    try:
        yield store
    finally:
        store.close()


Advance = Callable[[str, int, int], None]


@contextmanager
def _progress() -> Iterator[Advance]:
    """Bars on standard error, one for each kind of work: (words, how much more is done, of how much)."""
    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeElapsedColumn())
    with Progress(*columns, console=Console(stderr=True)) as progress:
        tasks = {}

        def advance(words: str, more: int, total: int) -> None:
            if words not in tasks:
                tasks[words] = progress.add_task(words, total=total)
            progress.advance(tasks[words], more)

        yield advance


def _seed(store: "Store", folder: Path, public_origin: str, advance: Advance) -> None:
    from seed_demo.cast import WORKSHOP_NAME
    from seed_demo.keys import make_keys
    from seed_demo.scenario import STEPS, seed_scenario
    from service.app import utc_now
    from service.documents.signing.keyring import Keyring

    words = "Invented workshop"
    advance(words, 0, STEPS)
    keyring = Keyring(make_keys(folder, WORKSHOP_NAME, utc_now()))
    seed_scenario(store, keyring=keyring, public_origin=public_origin, progress=lambda done: advance(words, 1, STEPS))


def _load(store: "Store", units: int, advance: Advance) -> None:
    from seed_demo.bulk import load_units

    words = "More units"
    advance(words, 0, units)
    load_units(store, units, progress=lambda done: advance(words, done, units))


def _logins() -> "tuple[DemoLogin, ...]":
    from service.pages.sign_in import DemoLogin

    return tuple(DemoLogin(login, password, who) for login, password, who in _people())


def _people() -> Iterator[tuple[str, str, str]]:
    """Login, password and who it is, in words."""
    from seed_demo.cast import PEOPLE

    for one in PEOPLE:
        of_whom = f" of {one.operator}" if one.operator else ""
        yield one.login, one.password, f"{one.name}, {one.role.label.lower()}{of_whom}"


def _print_logins(settings: "Settings", *, serve_it: bool) -> None:
    table = Table("login", "password", "who", title=settings.workshop_name)
    for row in _people():
        table.add_row(*row)
    Console().print(table)
    typer.echo(f"Everything in it is invented. The database is {settings.data_dir / _FILE}")
    if serve_it:
        typer.echo(f"Open {settings.public_origin} in a browser; Ctrl+C ends it.")
