"""The register of instruments: what is saved, who may, and what the journal keeps."""

from collections.abc import Callable
from decimal import Decimal as D
from typing import Any

import pytest

from service.actions.instruments import (
    quarantine_instrument,
    release_instrument,
    save_instrument,
    withdraw_instrument,
)
from service.actions.shop import Conflict, Forbidden, NotFound, Refused, Shop
from service.metrology.errors import DomainError
from service.workshop.calibration import InstrumentState
from service.workshop.vocabulary import InstrumentKind
from tests.actions.at_the_bench import newest_journal_row
from tests.calibrating import history
from tests.registered_fleet import Fleet


def instrument(**changes: Any) -> dict[str, Any]:
    """A new micrometer."""
    fields: dict[str, Any] = {
        "code": " mic-7 ",
        "kind": InstrumentKind.MICROMETER,
        "description": "Outside micrometer",
        "unit": "mm",
        "lower": D("0"),
        "upper": D("25.00"),
        "resolution": D("0.0010"),
        "location": " Bench 2 ",
    }
    return {**fields, **changes}


def pin_set(**changes: Any) -> dict[str, Any]:
    """A new set of gauge pins."""
    return instrument(code="PINS-7", kind=InstrumentKind.PIN_SET, **{"pins": (D("0.85"), D("0.840")), **changes})


def test_an_instrument_is_added_by_its_code_in_capitals(shop: Shop, fleet: Fleet) -> None:
    assert save_instrument(shop, fleet.manager, **instrument()) == "MIC-7"
    journal = newest_journal_row(shop)
    assert (journal.action, journal.subject_id, journal.before) == ("instrument", "MIC-7", "")
    known = history(shop, "MIC-7").known
    assert (known.lower, known.upper, known.resolution) == (D(0), D(25), D("0.001"))
    assert (known.state, history(shop, "MIC-7").row.location) == (InstrumentState.IN_USE, "Bench 2")


def test_a_set_keeps_its_pins_smallest_first_and_a_lost_pin_leaves_the_list(shop: Shop, fleet: Fleet) -> None:
    save_instrument(shop, fleet.manager, **pin_set())
    assert history(shop, "PINS-7").pins == (D("0.84"), D("0.85"))
    save_instrument(shop, fleet.manager, **pin_set(pins=(D("0.85"), D("0.86")), version=1))
    assert history(shop, "PINS-7").pins == (D("0.85"), D("0.86"))
    journal = newest_journal_row(shop)
    assert '"pins":["0.84","0.85"]' in journal.before
    assert '"pins":["0.85","0.86"]' in journal.after


def test_an_instrument_is_corrected_at_the_version_seen(shop: Shop, fleet: Fleet) -> None:
    save_instrument(shop, fleet.manager, **instrument())
    save_instrument(shop, fleet.manager, **instrument(location="Bench 3", version=1))
    with pytest.raises(Conflict) as conflict:
        save_instrument(shop, fleet.manager, **instrument(location="Bench 4", version=1))
    assert "at Bench 3" in conflict.value.changes[0]
    assert '"location":"Bench 2"' in newest_journal_row(shop).before
    with pytest.raises(NotFound):
        save_instrument(shop, fleet.manager, **instrument(code="MIC-8", version=1))


@pytest.mark.parametrize(
    ("fields", "field_name"),
    [
        (instrument(code=""), "code"),
        (instrument(code="x" * 21), "code"),
        (instrument(code="MIC-1"), "code"),
        (instrument(lower=D(25), upper=D(25)), "upper"),
        (instrument(lower=D("NaN")), "lower"),
        (instrument(resolution=D(0)), "resolution"),
        (instrument(pins=(D("0.85"),)), "pins"),
        (pin_set(pins=(D("0.85"), D("0.850"))), "pins"),
        (pin_set(pins=(D(9000),)), "pins"),
        (pin_set(pins=(D("Infinity"),)), "pins"),
    ],
)
def test_an_instrument_with_something_wrong_is_refused(
    shop: Shop, fleet: Fleet, fields: dict[str, Any], field_name: str
) -> None:
    before = newest_journal_row(shop).id
    with pytest.raises(DomainError) as refusal:
        save_instrument(shop, fleet.manager, **fields)
    assert refusal.value.field == field_name
    assert newest_journal_row(shop).id == before


def test_a_unit_that_nobody_knows_is_refused_and_only_a_manager_saves(shop: Shop, fleet: Fleet) -> None:
    with pytest.raises(DomainError):
        save_instrument(shop, fleet.manager, **instrument(unit="furlong"))
    with pytest.raises(Forbidden):
        save_instrument(shop, fleet.technician, **instrument())


def test_anybody_at_the_bench_quarantines_and_only_a_manager_releases(shop: Shop, fleet: Fleet) -> None:
    quarantine_instrument(shop, fleet.technician, code="MIC-1", reason=" Dropped ", version=2)
    known = history(shop).known
    assert (known.state, known.reason) == (InstrumentState.QUARANTINED, "Dropped")
    journal = newest_journal_row(shop)
    assert (journal.action, journal.reason, journal.person_name) == (
        "instrument-quarantined",
        "Dropped",
        "Tove Technician",
    )
    for act in (release_instrument, withdraw_instrument):
        with pytest.raises(Forbidden):
            act(shop, fleet.technician, code="MIC-1", reason="Looks good", version=3)
    with pytest.raises(Forbidden):
        quarantine_instrument(shop, fleet.office, code="MIC-1", reason="Why not", version=3)
    release_instrument(shop, fleet.manager, code="MIC-1", reason="Checked against gauge blocks", version=3)
    known = history(shop).known
    assert (known.state, known.reason) == (InstrumentState.IN_USE, "")
    journal = newest_journal_row(shop)
    assert (journal.action, journal.reason) == ("instrument-released", "Checked against gauge blocks")
    assert '"state":"quarantined"' in journal.before


@pytest.mark.parametrize("act", [quarantine_instrument, release_instrument, withdraw_instrument])
def test_a_state_changes_only_with_a_reason_from_another_state_and_at_the_version_seen(
    shop: Shop, fleet: Fleet, act: Callable[..., None]
) -> None:
    if act is release_instrument:
        quarantine_instrument(shop, fleet.manager, code="MIC-1", reason="Dropped", version=2)
    version = history(shop).row.version
    with pytest.raises(Refused) as refusal:
        act(shop, fleet.manager, code="MIC-1", reason="  ", version=version)
    assert refusal.value.field == "reason"
    with pytest.raises(Conflict) as conflict:
        act(shop, fleet.manager, code="MIC-1", reason="So", version=version - 1)
    assert "last calibration CAL-MIC-1" in conflict.value.changes[0]
    with pytest.raises(NotFound):
        act(shop, fleet.manager, code="MIC-99", reason="So", version=1)
    act(shop, fleet.manager, code="MIC-1", reason="So", version=version)
    with pytest.raises(Refused) as again:
        act(shop, fleet.manager, code="MIC-1", reason="So", version=version + 1)
    assert again.value.code == "instrument-state"
