"""Holding, lifting, condemning and conceding are signed with the password; what is condemned is never issued again."""

import json
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from unittest.mock import patch

import pytest
from sqlmodel import select

from service.actions import accounts
from service.actions.accounts import change_own_password, set_person_active
from service.actions.course import condemn, hold, lift_hold, return_unrepaired
from service.actions.password_trials import MOST_FAILURES, WrongPassword
from service.actions.rebuilding import fit_part
from service.actions.recording import Form, Recorded
from service.actions.releasing import sign_release
from service.actions.settling import decide_concession
from service.actions.shop import Actor, Refused, Shop, TooOften
from service.records.tables import Unit
from service.workshop.vocabulary import Stage
from tests.actions.at_the_bench import bring_to, entry_count, form, newest_journal_row, receive
from tests.actions.duties import refuses
from tests.registered_fleet import PASSWORD, Fleet

Signed = Callable[[Shop, Actor, str, Form, str], Recorded]
ACTS: dict[str, Signed] = {
    "hold": lambda shop, actor, number, blank, word: hold(shop, actor, number, blank, reason="Wait.", password=word),
    "lift": lambda shop, actor, number, blank, word: lift_hold(shop, actor, number, blank, reason="Go.", password=word),
    "condemn": lambda shop, actor, number, blank, word: condemn(
        shop, actor, number, blank, reason="Cracked.", password=word
    ),
    "concession": lambda shop, actor, number, blank, word: decide_concession(
        shop, actor, number, blank, part="body", granted=True, reason="Seen.", password=word
    ),
}


@pytest.mark.parametrize("name", ACTS)
@pytest.mark.parametrize("word", ["", "not the word", f" {PASSWORD}"])
def test_nothing_is_signed_with_a_wrong_password(shop: Shop, fleet: Fleet, name: str, word: str) -> None:
    number = receive(shop, fleet)[0]
    act = ACTS[name]
    error = refuses(shop, number, lambda: act(shop, fleet.manager, number, form(shop, number), word), WrongPassword)
    assert (error.code, error.field) == ("password", "password")


def test_the_journal_says_of_a_signed_act_that_it_was_signed_and_of_no_other(shop: Shop, fleet: Fleet) -> None:
    first, second = receive(shop, fleet, "A-1", "A-2")
    ACTS["hold"](shop, fleet.technician, first, form(shop, first), PASSWORD)
    assert json.loads(newest_journal_row(shop).after)["signed"] is True
    return_unrepaired(shop, fleet.manager, second, form(shop, second), reason="Not ours.")
    assert "signed" not in json.loads(newest_journal_row(shop).after)


def test_a_password_is_not_found_out_by_holding_again_and_again(shop: Shop, fleet: Fleet) -> None:
    number = receive(shop, fleet)[0]
    for _ in range(MOST_FAILURES):
        with pytest.raises(WrongPassword):
            ACTS["hold"](shop, fleet.technician, number, form(shop, number), "a guess at it")
    with pytest.raises(TooOften):
        ACTS["hold"](shop, fleet.technician, number, form(shop, number), PASSWORD)
    assert entry_count(shop, number) == 0


def test_the_database_is_not_locked_while_a_password_is_checked(shop: Shop, fleet: Fleet) -> None:
    """The check takes its time by design: somebody else records meanwhile, or the bench would stand still."""
    first, second = receive(shop, fleet, "A-1", "A-2")
    checking, go_on = threading.Event(), threading.Event()
    plain = accounts._proof

    def slow(shop: Shop, signer: Actor, password: str) -> str | None:
        found = plain(shop, signer, password)
        checking.set()
        assert go_on.wait(30)
        return found

    with patch.object(accounts, "_proof", slow), ThreadPoolExecutor(1) as pool:
        waiting = pool.submit(ACTS["hold"], shop, fleet.technician, first, form(shop, first), PASSWORD)
        assert checking.wait(30)
        return_unrepaired(shop, fleet.manager, second, form(shop, second), reason="Not ours.")
        go_on.set()
        waiting.result(30)
    assert (entry_count(shop, first), entry_count(shop, second)) == (1, 1)


@pytest.mark.parametrize("change", ["deactivated", "another password"])
def test_who_is_put_out_while_the_password_is_checked_signs_nothing(shop: Shop, fleet: Fleet, change: str) -> None:
    number = receive(shop, fleet)[0]
    plain = accounts._proof

    def then_changed(shop: Shop, signer: Actor, password: str) -> str | None:
        found = plain(shop, signer, password)
        with patch.object(accounts, "_proof", plain):
            if change == "deactivated":
                set_person_active(shop, fleet.manager, person_id=signer.person_id, active=False, version=1)
            else:
                new = "another long enough word"
                change_own_password(shop, signer, current=password, new=new, again=new)
        return found

    with patch.object(accounts, "_proof", then_changed), pytest.raises(Refused, match="sign in again"):
        ACTS["hold"](shop, fleet.technician, number, form(shop, number), PASSWORD)
    assert entry_count(shop, number) == 0


def test_what_was_condemned_is_not_fitted_into_another_however_it_is_spelled(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.AGREED)
    scrapped = receive(shop, fleet, "NZ 7-41")[0]
    ACTS["condemn"](shop, fleet.manager, scrapped, form(shop, scrapped), PASSWORD)
    for batch in ("NZ 7-41", " nz  7-41"):
        error = refuses(
            shop,
            number,
            lambda batch=batch: fit_part(  # type: ignore[misc]
                shop, fleet.technician, number, form(shop, number), item="seal-ring", batch=batch
            ),
            Refused,
        )
        assert (error.code, error.field) == ("condemned", "batch")
        assert "never fitted again" in error.sentence
    fit_part(shop, fleet.technician, number, form(shop, number), item="seal-ring", batch="NZ 7-42")


def test_a_condemned_injector_is_released_from_no_overhaul_of_it(shop: Shop, fleet: Fleet) -> None:
    """An earlier overhaul can be open again, its certificate withdrawn, after a later one condemned the injector."""
    number = bring_to(shop, fleet, Stage.PROVED)
    with shop.store.change() as session:
        session.exec(select(Unit).where(Unit.serial == "A-1")).one().condemned = True
    error = refuses(
        shop,
        number,
        lambda: sign_release(shop, fleet.manager, number, form(shop, number), password=PASSWORD),
        Refused,
    )
    assert (error.code, error.sentence) == ("condemned", "A-1 was condemned: it is never released again.")
    assert shop.store.rows("SELECT count(*) FROM certificate")[0][0] == 0
