"""Certificates taken back or replaced: never edited, always with reason, seen at once by everybody with the link."""

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from service.actions.course import lift_hold
from service.actions.fleets import save_vessel
from service.actions.issuing import Issued
from service.actions.releasing import sign_release
from service.actions.shop import Actor, Forbidden, NotFound, Refused, Shop
from service.actions.withdrawing import replace_certificate, withdraw_certificate
from service.records.certificate_reads import (
    IssuedCertificate,
    certificate_by_number,
    certificate_bytes,
    certificates_of_overhaul,
)
from service.workshop.permitted import NotPermitted
from service.workshop.vocabulary import Stage
from tests.actions.at_the_bench import bring_to, form, loaded, newest_journal_row, receive
from tests.architecture.test_query_counts import counted
from tests.documents.printed import words_of
from tests.registered_fleet import PASSWORD, Fleet

WHY = "The gauge of the proving run failed its calibration"


def released(shop: Shop, fleet: Fleet) -> tuple[str, str]:
    """An injector that has left: numbers of its overhaul and of its certificate."""
    number = bring_to(shop, fleet, Stage.PROVED)
    return number, sign_release(shop, fleet.manager, number, form(shop, number), password=PASSWORD).number


def withdraw(shop: Shop, actor: Actor, number: str, certificate: str, reason: str = WHY, word: str = PASSWORD) -> None:
    withdraw_certificate(shop, actor, certificate, form(shop, number), reason=reason, password=word)


def replace(shop: Shop, actor: Actor, number: str, certificate: str, reason: str = WHY) -> Issued:
    return replace_certificate(shop, actor, certificate, form(shop, number), reason=reason, password=PASSWORD)


def seen(shop: Shop, certificate: str) -> IssuedCertificate:
    with shop.store.reading() as session:
        found = certificate_by_number(session, certificate)
    assert found is not None
    return found


def test_a_withdrawn_certificate_stays_as_it_was_and_its_injector_is_held(shop: Shop, fleet: Fleet) -> None:
    number, certificate = released(shop, fleet)
    with shop.store.reading() as session:
        before = certificate_bytes(session, certificate)
    withdraw(shop, fleet.manager, number, certificate)
    now = seen(shop, certificate)
    assert now.withdrawn
    assert now.ended is not None
    assert (now.ended.by, now.ended.reason, now.ended.at) == (fleet.manager.name, WHY, shop.now())
    with shop.store.reading() as session:
        assert certificate_bytes(session, certificate) == before
    overhaul = loaded(shop, number)
    assert overhaul.row.held
    assert overhaul.row.closed_at is None
    assert overhaul.row.stage == Stage.PROVED.value
    assert newest_journal_row(shop).action == "withdrawn"


def test_no_certificate_is_changed_behind_the_services_back(shop: Shop, fleet: Fleet) -> None:
    number, certificate = released(shop, fleet)
    withdraw(shop, fleet.manager, number, certificate)
    for table, key in (("certificate", "id"), ("certificate_file", "certificate_id"), ("certificate_end", "reason")):
        for sql in ("DELETE FROM {}", "UPDATE {} SET {} = {}"):
            with pytest.raises(DBAPIError, match="never changed"), shop.store.change() as session:
                session.connection().execute(text(sql.format(table, key, key)))


def test_once_the_hold_is_lifted_a_new_certificate_names_the_one_it_replaces(shop: Shop, fleet: Fleet) -> None:
    number, first = released(shop, fleet)
    withdraw(shop, fleet.manager, number, first)
    with pytest.raises(NotPermitted, match="withdrawn"):
        sign_release(shop, fleet.manager, number, form(shop, number), password=PASSWORD)
    lift_hold(
        shop, fleet.manager, number, form(shop, number), reason="Proved again with another gauge", password=PASSWORD
    )
    second = sign_release(shop, fleet.manager, number, form(shop, number), password=PASSWORD).number
    assert second != first
    assert seen(shop, first).superseded_by == second
    assert seen(shop, second).ended is None
    with shop.store.reading() as session:
        printed = words_of(certificate_bytes(session, second) or b"")
    assert f"issued in place of {first}" in printed


def test_a_corrected_certificate_ends_the_one_before_in_one_act(shop: Shop, fleet: Fleet) -> None:
    number, first = released(shop, fleet)
    save_vessel(
        shop,
        fleet.manager,
        vessel_id=fleet.vessel_id,
        operator_id=fleet.operator_id,
        name="Invented Comet",
        imo=fleet.imo,
        version=1,
    )
    assert seen(shop, first).vessel == "Invented Star", "the check shows what the certificate printed"
    second = replace(shop, fleet.manager, number, first, "The vessel has a new name").number
    assert seen(shop, second).vessel == "Invented Comet"
    old = seen(shop, first)
    assert old.ended is not None
    assert (old.ended.replaced_by, old.withdrawn) == (second, False)
    assert loaded(shop, number).row.stage == Stage.RELEASED.value
    with shop.store.reading() as session:
        printed = words_of(certificate_bytes(session, second) or b"")
    assert "Invented Comet" in printed
    assert f"in place of {first}" in printed
    assert "The vessel has a new name" in printed
    overhaul_id = loaded(shop, number).row.id or 0
    with shop.store.reading() as session, counted(shop.store) as sent:
        both = certificates_of_overhaul(session, overhaul_id)
    assert len(sent) == 1
    assert both == (seen(shop, second), seen(shop, first))


def test_a_second_submission_ends_nothing_twice(shop: Shop, fleet: Fleet) -> None:
    number, first = released(shop, fleet)
    blank = form(shop, number)
    one = replace_certificate(shop, fleet.manager, first, blank, reason=WHY, password=PASSWORD)
    assert replace_certificate(shop, fleet.manager, first, blank, reason=WHY, password=PASSWORD) == one
    assert shop.store.rows("SELECT count(*) FROM certificate")[0][0] == 2
    blank = form(shop, number)
    for _ in range(2):
        withdraw_certificate(shop, fleet.manager, one.number, blank, reason=WHY, password=PASSWORD)
    assert shop.store.rows("SELECT count(*) FROM certificate_end")[0][0] == 2


def test_what_has_ended_cannot_end_again(shop: Shop, fleet: Fleet) -> None:
    number, first = released(shop, fleet)
    second = replace(shop, fleet.manager, number, first).number
    for act in (withdraw, replace):
        with pytest.raises(Refused, match=f"replaced by {second} already"):
            act(shop, fleet.manager, number, first)


def test_only_a_manager_with_reason_and_password_ends_a_certificate(shop: Shop, fleet: Fleet) -> None:
    number, certificate = released(shop, fleet)
    for actor in (fleet.technician, fleet.office):
        for act in (withdraw, replace):
            with pytest.raises(Forbidden):
                act(shop, actor, number, certificate)
    with pytest.raises(Refused, match="password"):
        withdraw(shop, fleet.manager, number, certificate, word="another long word")
    with pytest.raises(Refused, match="reason"):
        withdraw(shop, fleet.manager, number, certificate, reason="  ")
    with pytest.raises(NotFound):
        withdraw(shop, fleet.manager, number, "RC-2026-99999")
    assert seen(shop, certificate).ended is None
    assert not loaded(shop, number).row.held


def test_an_injector_that_came_again_is_held_where_it_is_now(shop: Shop, fleet: Fleet) -> None:
    number, certificate = released(shop, fleet)
    (again,) = receive(shop, fleet, "A-1")
    withdraw(shop, fleet.manager, number, certificate)
    assert loaded(shop, number).row.stage == Stage.RELEASED.value
    now_open = loaded(shop, again)
    assert now_open.row.held
    assert now_open.record.held is not None
    assert certificate in now_open.record.held.reason
