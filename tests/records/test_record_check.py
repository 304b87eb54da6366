"""The records themselves, changed behind the service's back: the journal whose chain holds tells which and how."""

import pytest
from sqlalchemy import text

from service.actions.shop import Shop
from service.cli.main import app
from service.records.record_check import check_records
from service.workshop.vocabulary import Stage
from tests.actions.at_the_bench import bring_to
from tests.journals import guards_lifted, rewrite_from
from tests.registered_fleet import Fleet

ATTACKS = {
    "a measured value": (
        "UPDATE entry SET payload = REPLACE(payload, 'discarded\":true', 'discarded\":false') WHERE seq = 1",
        "Record 1 of overhaul OH-2026-0001 holds other values than those that row",
    ),
    "what was found": (
        "UPDATE entry SET sentence = 'Sound.' WHERE seq = 2",
        "Record 2 of overhaul OH-2026-0001 is not",
    ),
    "who it was": (
        "UPDATE entry SET person_name = 'Somebody' WHERE seq = 2",
        "Record 2 of overhaul OH-2026-0001 is not",
    ),
    "when it was": (
        "UPDATE entry SET at = '2020-01-01T08:00:00.000000Z' WHERE seq = 3",
        "Record 3 of overhaul OH-2026-0001 is not what row",
    ),
    "the order": (
        "UPDATE entry SET seq = CASE seq WHEN 2 THEN 102 ELSE 2 END WHERE seq IN (2, 4)",
        "Record 2 of overhaul OH-2026-0001 is not what row",
    ),
    "the overhaul's number": (
        "UPDATE overhaul SET number = 'OH-2026-0002'",
        "Record 1 of overhaul OH-2026-0001 is gone, of which row",
    ),
}


@pytest.mark.parametrize("name", ATTACKS)
def test_a_record_that_was_changed_is_named(shop: Shop, fleet: Fleet, name: str) -> None:
    bring_to(shop, fleet, Stage.EXAMINED)
    before = check_records(shop.store)
    assert (before.records > 5, before.fault) == (True, "")
    attack, told = ATTACKS[name]
    with guards_lifted(shop.store, "entry") as connection:
        connection.execute(text(attack.replace(":false", "\\:false").replace(":true", "\\:true")))
    assert check_records(shop.store).fault.startswith(told)


def test_a_record_that_was_removed_is_named(shop: Shop, fleet: Fleet) -> None:
    bring_to(shop, fleet, Stage.STRIPPED)
    with guards_lifted(shop.store, "entry") as connection:
        connection.execute(text("DELETE FROM entry"))
    assert "is gone, of which row" in check_records(shop.store).fault


def test_a_journal_from_before_values_were_noted_is_compared_by_its_words(shop: Shop, fleet: Fleet) -> None:
    bring_to(shop, fleet, Stage.STRIPPED)
    with guards_lifted(shop.store) as connection:
        for row_id, after in connection.execute(text("SELECT id, after FROM journal WHERE after LIKE '%entry%'")).all():
            start = after.index('"content_sha256":')
            plain = after[:start] + after[after.index('"entry"', start) :]
            connection.execute(text("UPDATE journal SET after = :after WHERE id = :id"), {"after": plain, "id": row_id})
        rewrite_from(connection, 1)
    assert check_records(shop.store).fault == ""
    with guards_lifted(shop.store, "entry") as connection:
        connection.execute(text("UPDATE entry SET title = 'Something else'"))
    assert "is not what row" in check_records(shop.store).fault


def test_the_command_names_the_changed_record_with_status_1(
    shop: Shop, fleet: Fleet, monkeypatch: pytest.MonkeyPatch
) -> None:
    from typer.testing import CliRunner

    bring_to(shop, fleet, Stage.STRIPPED)
    monkeypatch.setenv("SPINDLEBOOK_DATABASE_URL", shop.store.url)
    whole = CliRunner().invoke(app, ["journal", "verify"])
    assert (whole.exit_code, "1 records of overhauls are as it tells" in whole.stdout) == (0, True)
    with guards_lifted(shop.store, "entry") as connection:
        connection.execute(text("UPDATE entry SET payload = '{}'"))
    found = CliRunner().invoke(app, ["journal", "verify"])
    assert found.exit_code == 1
    assert "holds other values" in found.stderr
