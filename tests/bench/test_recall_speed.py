"""A micrometer with 100,000 readings is recalled: everything found and judged again in under two seconds.

Run it alone: `.venv/bin/python -m pytest -n0 -s tests/bench/test_recall_speed.py`. The readings are invented, in steps
of a micrometre over 0.06 mm as a workshop's micrometer gives them: 20 on each of 5,000 injectors.
Counted is the processor's time, since other work on the machine stretches the clock's; both are printed.
"""

import random
import time
from decimal import Decimal as D

from sqlalchemy import text

from service.actions.recalling import RecallAsked, look_at_instrument_recall
from service.records.column_types import instant_text
from service.records.json_text import content_from_json, content_to_json
from service.records.store import Store
from service.workshop.decision_rule import DecisionRule
from service.workshop.entries import Examined
from service.workshop.examination import examine
from service.workshop.measurements import SizeMeasurement
from service.workshop.vocabulary import Phase
from tests.actions.at_the_bench import receive
from tests.registered_fleet import START, Fleet, shop_over
from tests.small_sheet import INSTRUMENTS, SMALL_SHEET

INJECTORS, READINGS = 5_000, 20
SECONDS = 2.0


def payload(first: int, second: int) -> str:
    """The guide of a needle, read twice, in micrometres above 5.96 mm."""
    item = SMALL_SHEET.characteristic_by_key["needle-guide"]
    readings = tuple(D("5.960") + D(one) / 1000 for one in (first, second))
    measured = SizeMeasurement(readings=readings, instrument=INSTRUMENTS["MIC-1"])
    outcome = examine(item, measured, DecisionRule())
    return content_to_json(
        Examined(characteristic=item.key, part=item.part, phase=Phase.FOUND, measurement=measured, outcome=outcome)
    )


def fill(store: Store, fleet: Fleet) -> None:
    """Copy one received injector 5,000 times and give each its readings."""
    receive(shop_over(store), fleet, "B-0")
    chance, kept = random.Random(1), {}
    at = instant_text(START)
    with store.write_engine.begin() as connection:
        unit = connection.execute(text("SELECT * FROM unit")).mappings().one()
        overhaul = connection.execute(text("SELECT * FROM overhaul")).mappings().one()
        instrument = connection.execute(text("SELECT id FROM instrument WHERE code = 'MIC-1'")).scalar_one()
        numbers = range(10, 10 + INJECTORS)
        units = [{**unit, "id": one, "serial": f"B-{one}"} for one in numbers]
        overhauls = [{**overhaul, "id": one, "unit_id": one, "number": f"OH-B-{one}"} for one in numbers]
        entries, links = [], []
        for number in numbers:
            for seq in range(1, READINGS + 1):
                pair = chance.randrange(60), chance.randrange(60)
                kept.setdefault(pair, payload(*pair) if pair not in kept else "")
                entry = number * 100 + seq
                row = {"id": entry, "overhaul_id": number, "seq": seq, "kind": "examined", "at": at}
                row |= {"subject": f"examined:{seq}", "title": "Guide", "verdict": "conforms", "sentence": "Invented."}
                row |= {"person_id": fleet.technician.person_id, "person_name": "Tove Technician"}
                entries.append({**row, "payload": kept[pair], "form_key": f"bench-{entry}"})
                links.append({"entry_id": entry, "instrument_id": instrument})
        for table, rows in {"unit": units, "overhaul": overhauls, "entry": entries, "entry_instrument": links}.items():
            names = list(rows[0])
            into = f"INSERT INTO {table} ({', '.join(names)}) VALUES ({', '.join(f':{name}' for name in names)})"  # noqa: S608 - names of our own
            connection.execute(text(into), rows)
        connection.execute(text("ANALYZE"))


def test_a_hundred_thousand_readings_are_recalled_in_two_seconds(registered_store: Store, fleet: Fleet) -> None:
    fill(registered_store, fleet)
    shop, asked = shop_over(registered_store), RecallAsked(error=D("0.003"))
    look_at_instrument_recall(shop, fleet.manager, "PINS-1", RecallAsked())  # opens connections
    content_from_json.cache_clear()
    start, busy = time.perf_counter(), time.process_time()
    found = look_at_instrument_recall(shop, fleet.manager, "MIC-1", asked)
    took, busy = time.perf_counter() - start, time.process_time() - busy
    turned = sum(one.again.changes for one in found.readings)
    print(f"\n{len(found.readings):,} readings, {turned:,} verdicts would change: {took:.2f} s, {busy:.2f} s our own")
    assert len(found.readings) == INJECTORS * READINGS
    assert 0 < turned < len(found.readings)
    assert busy < SECONDS
