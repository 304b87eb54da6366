"""`spindlebook journal …`: is the journal as it was written, what is its head, and the head sent outside."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from time import monotonic
from typing import TYPE_CHECKING, Annotated

import typer

from service.cli.calc import OneSentenceGroup
from service.metrology.errors import DomainError
from service.workshop.journal_chain import OutOfOrder, is_hash

if TYPE_CHECKING:
    from service.records.journal_verification import JournalReport
    from service.records.store import Store

journal = typer.Typer(
    name="journal", cls=OneSentenceGroup, no_args_is_help=True, help="Whether the journal is as it was written."
)
BROKEN = 1
_PATIENCE_S = 1.0


@journal.command("verify")
def verify(
    head: Annotated[
        str, typer.Option(help="Hash noted earlier, from a certificate or a letter: it must be in the chain.")
    ] = "",
) -> None:
    """Follow the chain of the journal to its end and name the first row that breaks it; status 1 if one does.

    Where it holds, the records of the overhauls are compared with what it tells of them.
    """
    from service.records.journal_verification import count_journal, verify_journal
    from service.records.record_check import RecordsReport, check_records, count_told

    head = "".join(head.split()).lower()
    if head and not is_hash(head):
        raise DomainError("head", "A head has 64 hexadecimal digits: copy it whole.", "head")
    with _store() as (store, guards_missing):
        with _bar_if_slow("Rows of the journal", count_journal(store)) as advance:
            report = verify_journal(store, head=head, progress=advance)
        records = RecordsReport(0, "")
        if not report.faults:
            with _bar_if_slow("Records", count_told(store)) as advance:
                records = check_records(store, advance)
    for line in _lines(report):
        typer.echo(line)
    if records.records:
        typer.echo(f"{records.records} records of overhauls are as it tells of them.")
    faults = (*report.faults, *filter(None, (records.fault,)), *guards_missing)
    for fault in faults:
        typer.echo(fault, err=True)
    if faults:
        raise typer.Exit(BROKEN)


@journal.command("head")
def show_head() -> None:
    """Print the newest row's hash and number: note it outside, and the journal up to it can be proved later."""
    from service.records.journal import journal_head

    with _store() as (store, _), store.reading() as session:
        found = journal_head(session)
    typer.echo(f"{found.hash} row {found.row_id}")


@journal.command("send-head")
def send_newest_head() -> None:
    """Send the newest row's hash to the address of the settings; best once a day by the machine's own timer."""
    from service.app import utc_now
    from service.cli.head_mail import send_head
    from service.records.journal import journal_head
    from service.settings import Settings

    with _store() as (store, _), store.reading() as session:
        found = journal_head(session)
    address = send_head(Settings(), found, utc_now())
    typer.echo(f"Sent to {address}: {found.hash} row {found.row_id}")


def _lines(report: "JournalReport") -> Iterator[str]:
    rows = f"{report.rows:,}".replace(",", " ")
    yield f"{rows} rows follow from one another, to row {report.last_row} with the hash {report.head}"
    if report.head_row is not None:
        yield f"The given head is that of row {report.head_row}."
    if report.certificates and not report.faults:
        yield f"The heads that certificates print are in it ({report.certificates} certificates)."
    if report.out_of_order_count:
        yield (
            f"Out of order: {report.out_of_order_count} rows are dated before the row before them, "
            "by a clock set back or by two writers at once."
        )
        yield from map(_late, report.out_of_order)
    if report.out_of_order_count > len(report.out_of_order):
        yield f"  and {report.out_of_order_count - len(report.out_of_order)} more"


def _late(one: OutOfOrder) -> str:
    return f"  row {one.row_id} of {one.at} after row {one.before_id} of {one.before_at}"


@contextmanager
def _store() -> "Iterator[tuple[Store, list[str]]]":
    """The store, and what is said of guards that are missing: whoever took them away may have done more."""
    from service.cli.serving import NotServed
    from service.records.store import Store
    from service.settings import Settings
    from service.startup_checks import startup_findings

    store = Store(Settings().url)
    try:
        findings = startup_findings(store)
        for one in findings:
            if one.code == "schema":
                raise NotServed(one.code, f"{one.sentence} {one.hint}.")
        yield store, [one.sentence for one in findings if one.code == "triggers"]
    finally:
        store.close()


@contextmanager
def _bar_if_slow(words: str, total: int) -> Iterator[Callable[[int], None]]:
    """A bar on standard error, shown once it has taken longer than a second."""
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    bar = Progress(*columns, console=Console(stderr=True))
    task, began = bar.add_task(words, total=total), monotonic()

    def advance(rows: int) -> None:
        bar.advance(task, rows)
        if not bar.live.is_started and monotonic() - began > _PATIENCE_S:
            bar.start()

    try:
        yield advance
    finally:
        if bar.live.is_started:
            bar.stop()
