"""Signing the release: the gate, the password, one number, one file, one certificate."""

import hashlib
import threading
from concurrent.futures import ThreadPoolExecutor

import pytest

from service.actions.course import hold
from service.actions.recording import Form
from service.actions.releasing import Issued, sign_release
from service.actions.shop import Actor, Conflict, Forbidden, NotFound, Refused, Shop
from service.metrology.errors import DomainError
from service.workshop.permitted import NotPermitted
from service.workshop.vocabulary import Stage
from tests.actions.at_the_bench import bring_to, form, loaded, newest_journal_row, prove, receive
from tests.actions.duties import refuses
from tests.registered_fleet import PASSWORD, Fleet


def sign(shop: Shop, actor: Actor, number: str, blank: Form | None = None, password: str = PASSWORD) -> Issued:
    return sign_release(shop, actor, number, blank or form(shop, number), password=password)


def test_a_manager_signs_a_proved_injector_once(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.PROVED)
    for actor in (fleet.technician, fleet.office):
        refuses(shop, number, lambda actor=actor: sign(shop, actor, number), Forbidden)  # type: ignore[misc]
    refuses(shop, number, lambda: sign(shop, fleet.manager, "OH-2026-9999"), NotFound)
    blank = form(shop, number)
    issued = sign(shop, fleet.manager, number, blank)
    assert issued.number == "RC-2026-00001"
    row = newest_journal_row(shop)
    assert (row.action, row.subject_id, row.person_name) == ("released", number, fleet.manager.name)
    assert '"stage":"proved"' in row.before
    assert '"stage":"released"' in row.after
    assert loaded(shop, number).row.closed_at == shop.now()
    assert sign(shop, fleet.manager, number, blank) == issued
    assert shop.store.rows("SELECT count(*) FROM certificate")[0][0] == 1
    assert receive(shop, fleet, "A-1") != (number,)


def test_the_stored_file_is_the_one_whose_hash_is_stored(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.PROVED)
    sign(shop, fleet.manager, number)
    sql = "SELECT c.sha256, f.content FROM certificate c JOIN certificate_file f ON f.certificate_id = c.id"
    ((sha256, content),) = shop.store.rows(sql)
    assert hashlib.sha256(bytes(content)).hexdigest() == sha256
    assert bytes(content).startswith(b"%PDF-")


@pytest.mark.parametrize("password", ["", "a wrong enough word"])
def test_a_wrong_password_signs_nothing(shop: Shop, fleet: Fleet, password: str) -> None:
    number = bring_to(shop, fleet, Stage.PROVED)
    error = refuses(shop, number, lambda: sign(shop, fleet.manager, number, password=password), Refused)
    assert (error.code, error.field) == ("password", "password")
    assert sign(shop, fleet.manager, number).number == "RC-2026-00001"


@pytest.mark.parametrize("stage", [Stage.RECEIVED, Stage.STRIPPED, Stage.AGREED, Stage.REBUILT])
def test_nobody_signs_before_the_gate_is_open(shop: Shop, fleet: Fleet, stage: Stage) -> None:
    number = bring_to(shop, fleet, stage)
    refuses(shop, number, lambda: sign(shop, fleet.manager, number), NotPermitted)


def test_a_held_injector_is_not_signed(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.PROVED)
    hold(shop, fleet.technician, number, form(shop, number), reason="Wrong serial?", password=PASSWORD)
    error = refuses(shop, number, lambda: sign(shop, fleet.manager, number), NotPermitted)
    assert "Wrong serial?" in error.sentence


def test_a_manager_signs_only_what_was_seen(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.PROVED)
    seen = form(shop, number)
    prove(shop, fleet, number)
    error = refuses(shop, number, lambda: sign(shop, fleet.manager, number, seen), Conflict)
    assert isinstance(error, Conflict)
    assert error.changes[0] == f"{fleet.technician.name}: Proving run started. Rig RIG-1, gauge GAUGE-1."


def test_two_managers_signing_at_once_issue_one_certificate(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.PROVED)
    start = threading.Barrier(2)

    def attempt(actor: Actor) -> str:
        blank = form(shop, number)
        start.wait()
        try:
            return sign(shop, actor, number, blank).number
        except DomainError as refusal:
            return refusal.code

    with ThreadPoolExecutor(2) as pool:
        answers = sorted(pool.map(attempt, (fleet.manager, fleet.second_manager)))
    assert answers == ["RC-2026-00001", "over"]
    assert shop.store.rows("SELECT count(*) FROM certificate")[0][0] == 1


def test_a_form_that_recorded_something_else_does_not_sign(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.PROVED)
    used = form(shop, number)
    hold(shop, fleet.manager, number, used, reason="Look again.", password=PASSWORD)
    refuses(shop, number, lambda: sign(shop, fleet.manager, number, used), DomainError)
