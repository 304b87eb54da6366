"""How fast the journal's chain is followed: over a hundred thousand rows a second on both databases.

Run it alone: `.venv/bin/python -m pytest -n0 -s tests/bench/test_journal_speed.py`. The rows are invented. Counted is
the processor's time of the command, since other work on the machine stretches the clock's; both are printed.
"""

import resource
from collections.abc import Iterator
from time import perf_counter, process_time

from service.records.journal_verification import verify_journal
from service.records.store import Store
from service.workshop.journal_chain import COLUMNS, START, StoredRow, chain_hash, row_text

ROWS = 400_000
LEAST = 100_000
"""Rows a second."""
ROOM_MB = 60
"""What following them may add to the memory in use: they are read a batch at a time."""


def many_rows() -> Iterator[StoredRow]:
    """Rows as entries of an overhaul leave them in the journal, half a kilobyte each."""
    before, last = '{"held":false,"stage":"examined"}', START
    for row_id in range(1, ROWS + 1):
        sentence = f"Measured {row_id % 97} µm, limit 10 µm, conforms by the decision rule in force on that day."
        after = f'{{"entry":{row_id % 60},"held":false,"sentence":"{sentence}","stage":"examined","title":"Ovality"}}'
        at = f"2026-03-02T08:{row_id * 60 // (ROWS + 1):02d}:00.000000Z"
        row = ("examined", after, at, before, row_id, None, "Tove Technician", "", "OH-2026-0001", "overhaul")
        written = row_text(*row)
        last = chain_hash(last, written)
        yield (*row, written, last)


def test_a_hundred_thousand_rows_a_second_are_followed(store: Store) -> None:
    names = ", ".join(COLUMNS)
    with store.write_engine.begin() as connection:
        driver = connection.connection.driver_connection
        assert driver is not None
        if store.is_sqlite:
            marks = ", ".join("?" * len(COLUMNS))
            driver.executemany(f"INSERT INTO journal ({names}) VALUES ({marks})", many_rows())  # noqa: S608
        else:
            with driver.cursor().copy(f"COPY journal ({names}) FROM STDIN") as copy:
                for row in many_rows():
                    copy.write_row(row)
    used, best, by_the_clock = _megabytes(), 0.0, 0.0
    for _ in range(3):
        began, worked = perf_counter(), process_time()
        report = verify_journal(store)
        best = max(best, ROWS / (process_time() - worked))
        by_the_clock = max(by_the_clock, ROWS / (perf_counter() - began))
        assert (report.faults, report.rows) == ((), ROWS)
    more = _megabytes() - used
    kind = "SQLite" if store.is_sqlite else "PostgreSQL"
    print(f"\n{kind}: {best:,.0f} rows a second, {by_the_clock:,.0f} by the clock, {more:.0f} MB more")
    assert best > LEAST
    assert more < ROOM_MB


def _megabytes() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
