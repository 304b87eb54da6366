"""Following the journal's chain through the whole table, a batch at a time, in time linear in its rows."""

from collections.abc import Callable
from dataclasses import dataclass

from service.records.store import Store, sqlite_module
from service.workshop.journal_chain import COLUMNS, START, Broken, Link, OutOfOrder, follow

_ROWS = f"SELECT {', '.join(COLUMNS)} FROM journal ORDER BY id"  # noqa: S608 - names of our own
_PRINTED = "SELECT number, journal_head FROM certificate WHERE journal_head <> '' ORDER BY id"
_BATCH = 4_000
LATE = 20
"""So many rows out of order are kept by name; the others are counted."""


@dataclass(frozen=True)
class JournalReport:
    """What came of it: rows followed, the head they lead to, what is wrong, what is only strange.

    `head_row` is where the head that was asked for stands, None where none was or it is in no row.
    """

    rows: int
    last_row: int
    head: str
    faults: tuple[str, ...]
    head_row: int | None
    certificates: int
    out_of_order: tuple[OutOfOrder, ...]
    out_of_order_count: int


def count_journal(store: Store) -> int:
    """How many rows there are to follow."""
    return int(store.rows("SELECT count(*) FROM journal")[0][0])


def verify_journal(
    store: Store, *, head: str = "", progress: Callable[[int], None] = lambda rows: None
) -> JournalReport:
    """Follow the chain to its end or to the first row that breaks it, and look out for heads known from elsewhere.

    `head` is a hash noted earlier, '' for none; the heads that certificates print are looked for in any case, since
    a tail that was cut off or written anew leaves a chain that holds by itself. `progress` gets rows followed.
    """
    printed = {str(found): str(number) for number, found in store.rows(_PRINTED)}
    wanted = frozenset({*printed, head} - {""})
    link, rows, met = Link(), 0, {START: 0} if START in wanted else {}
    late: list[OutOfOrder] = []
    late_count, broken = 0, None
    try:
        for batch in store.batches(_ROWS, _BATCH):
            followed = follow(link, batch, wanted)
            link, rows, broken = followed.link, rows + followed.rows, followed.broken
            late_count += len(followed.out_of_order)
            late += followed.out_of_order[: max(0, LATE - len(late))]
            met.update(followed.met)
            progress(followed.rows)
            if broken is not None:
                break
    except sqlite_module.Error as error:  # text that is no text: SQLite stores whatever it is given
        broken = Broken(link.row_id, f"What stands behind row {link.row_id} or soon after cannot be read: {error}.")
    return JournalReport(
        rows=rows,
        last_row=link.row_id,
        head=link.hash,
        faults=_faults(broken, head, printed, met),
        head_row=met.get(head),
        certificates=len(printed),
        out_of_order=tuple(late),
        out_of_order_count=late_count,
    )


def _faults(broken: Broken | None, head: str, printed: dict[str, str], met: dict[str, int]) -> tuple[str, ...]:
    """The first broken row; without one, heads that should be in the chain and are not."""
    if broken is not None:
        return (broken.sentence,)
    gone = []
    if head and head not in met:
        gone.append("The given head is in no row: rows were cut off at the end, or the end was written anew.")
    missing = [number for found, number in printed.items() if found not in met]
    if missing:
        gone.append(
            f"The head that certificate {missing[0]} prints is in no row: rows were cut off at the end, or the end was "
            "written anew."
        )
    return tuple(gone)
