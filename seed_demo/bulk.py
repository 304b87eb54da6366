"""Many thousand units for scale tests: rows straight into the tables, in batches, by the fastest way there is.

The rows are true to each other (payloads decode, stages follow from the entries), but each record is only as
long as a list or a status page needs; the remark of every overhaul says so, and no certificate is issued.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from sqlalchemy import Connection
from sqlmodel import col, func, select

from seed_demo.bulk_fleet import BulkFleet, lay_fleet
from seed_demo.bulk_records import RecordTemplate, templates
from service.records.column_types import instant_text
from service.records.journal import append_journal
from service.records.store import Store
from service.records.tables import Consignment, EntryRow, Overhaul, Unit

REMARK = "Bulk data for scale tests: a shortened record, no certificate was issued."
BATCH = 10_000
CONSIGNMENT_SIZE = 8
YOUNGEST, SPAN = timedelta(days=20), timedelta(days=1800)
"""How long ago the newest bulk unit came, and how far back before it the oldest."""
_COLUMNS = {
    "consignment": "id number vessel_id received_at due_on reference remark form_key",
    "unit": "id serial injector_type_id vessel_id condemned",
    "overhaul": "id number unit_id consignment_id engine_id sheet_id cylinder position running_hours fuel reason "
    "packing remark stage held opened_at closed_at last_seq",
    "entry": "id overhaul_id seq kind subject title verdict sentence at person_id person_name payload form_key",
    "entry_instrument": "entry_id instrument_id",
    "fitted_batch": "entry_id batch_key",
}
_NUMBERED = ("consignment", "unit", "overhaul", "entry")
"""Those whose rows have a number of their own."""

Rows = dict[str, list[tuple[object, ...]]]


@dataclass
class _Next:
    """The next free id of each table, and how many bulk units there are."""

    consignment: int
    unit: int
    overhaul: int
    entry: int
    serial: int


def load_units(
    store: Store, units: int, *, end: datetime | None = None, progress: Callable[[int], None] = lambda done: None
) -> None:
    """Add so many units with serials that go on from `SN00000001`; a type with an approved sheet must be there.

    `progress` is called with the number of units added by each batch.
    """
    moment = end or datetime.now(UTC)
    fleet = lay_fleet(store, vessels=max(8, units // 500), at=moment)
    kinds = templates(fleet.sheet, fleet.instruments)
    place = _next_ids(store)
    between = SPAN / units if units else SPAN
    left = units
    while left:
        count = min(left, BATCH)
        left -= count
        rows = _batch(fleet, kinds, place, count, moment - YOUNGEST - left * between, between)
        with store.write_engine.begin() as connection:
            for table, columns in _COLUMNS.items():
                if rows[table]:
                    _insert(connection, table, columns.split(), rows[table], sqlite=store.is_sqlite)
        progress(count)
    _finish(store, units, fleet, moment)


def _next_ids(store: Store) -> _Next:
    with store.reading() as session:
        consignment, unit, overhaul, entry = (
            (session.exec(select(func.max(table.id))).one() or 0) + 1
            for table in (Consignment, Unit, Overhaul, EntryRow)
        )
        loaded = session.exec(select(func.count()).where(col(Unit.serial).like("SN________"))).one()
    return _Next(consignment, unit, overhaul, entry, serial=loaded + 1)


def _batch(
    fleet: BulkFleet,
    kinds: tuple[RecordTemplate, ...],
    place: _Next,
    count: int,
    newest: datetime,
    between: timedelta,
) -> Rows:
    """The next rows of every table, oldest first, so that indexes by time grow at their end."""
    rows: Rows = {table: [] for table in _COLUMNS}
    for offset in range(count):
        if offset % CONSIGNMENT_SIZE == 0:
            berth = fleet.berths[(place.serial // CONSIGNMENT_SIZE) % len(fleet.berths)]
            opened = newest - (count - offset) * between
            opened_text = instant_text(opened)
            place.consignment += 1
            key = f"bulk-c-{place.consignment:010d}"
            rows["consignment"].append(
                (
                    place.consignment,
                    f"CN-B-{place.consignment:08d}",
                    berth.vessel_id,
                    opened_text,
                    (opened + timedelta(days=21)).date().isoformat(),
                    "",
                    REMARK,
                    key,
                )
            )
            times = [instant_text(opened + timedelta(hours=2 * step + 1)) for step in range(8)]
        kind = kinds[place.serial % len(kinds)]
        _unit(rows, fleet, place, kind, (berth.vessel_id, berth.engine_id), opened_text, times)
    return rows


def _unit(
    rows: Rows,
    fleet: BulkFleet,
    place: _Next,
    kind: RecordTemplate,
    berth: tuple[int, int],
    opened: str,
    times: list[str],
) -> None:
    number, overhaul, seq = place.serial, place.overhaul, 0
    rows["unit"].append((place.unit, f"SN{number:08d}", fleet.injector_type_id, berth[0], kind.condemned))
    for seq, entry in enumerate(kind.entries, start=1):
        person, name = fleet.people[number % len(fleet.people)]
        rows["entry"].append(
            (
                place.entry,
                overhaul,
                seq,
                entry.kind,
                entry.subject,
                entry.title,
                entry.verdict,
                entry.sentence,
                times[seq],
                person,
                name,
                entry.payload,
                f"bulk-e-{place.entry:010d}",
            )
        )
        if entry.instrument_id is not None:
            rows["entry_instrument"].append((place.entry, entry.instrument_id))
        if entry.batch is not None:
            rows["fitted_batch"].append((place.entry, entry.batch))
        place.entry += 1
    rows["overhaul"].append(
        (
            overhaul,
            f"OH-B-{number:08d}",
            place.unit,
            place.consignment,
            berth[1],
            fleet.sheet_id,
            1 + number % 6,
            "",
            1000 + number * 37 % 15000,
            "residual",
            "planned",
            "sound",
            REMARK,
            kind.stage,
            False,
            opened,
            times[seq] if kind.closed else None,
            seq,
        )
    )
    place.unit, place.overhaul, place.serial = place.unit + 1, overhaul + 1, number + 1


def _insert(
    connection: Connection, table: str, columns: list[str], rows: list[tuple[object, ...]], *, sqlite: bool
) -> None:
    if sqlite:
        marks = ",".join("?" * len(columns))
        connection.exec_driver_sql(f"INSERT INTO {table} ({','.join(columns)}) VALUES ({marks})", rows)  # noqa: S608
        return
    cursor = connection.connection.cursor()
    with cursor.copy(f"COPY {table} ({','.join(columns)}) FROM STDIN") as copy:
        for row in rows:
            copy.write_row(row)


def _finish(store: Store, units: int, fleet: BulkFleet, moment: datetime) -> None:
    with store.change() as session:
        person = fleet.people[0]
        append_journal(
            session,
            at=moment,
            person=person,
            action="bulk-loaded",
            subject=("unit", "SN*"),
            reason=REMARK,
            after={"units": units},
        )
        if not store.is_sqlite:  # explicit ids leave PostgreSQL's sequences behind
            for table in _NUMBERED:
                statement = f"SELECT setval(pg_get_serial_sequence('{table}', 'id'), (SELECT max(id) FROM {table}))"  # noqa: S608
                session.connection().exec_driver_sql(statement)
    with store.write_engine.connect() as connection:
        for statement in _statistics(store):
            connection.exec_driver_sql(statement)
            connection.commit()


def _statistics(store: Store) -> Iterator[str]:
    """The planner chooses its indexes by these."""
    yield "PRAGMA analysis_limit=1000" if store.is_sqlite else "ANALYZE unit"
    yield "ANALYZE"
