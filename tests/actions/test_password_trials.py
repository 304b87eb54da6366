"""A password is not tried without end: ten failures for one login, then a quarter of an hour's wait."""

import pytest

from service.actions.accounts import change_own_password, sign_in
from service.actions.password_trials import MOST_FAILURES, WrongPassword
from service.actions.recording import Form
from service.actions.releasing import sign_release
from service.actions.shop import NotFound, Shop, TooOften, status_of
from tests.actions.at_the_bench import receive
from tests.registered_fleet import PASSWORD, Clock, Fleet


def fail(shop: Shop, login: str, times: int = MOST_FAILURES) -> None:
    for _ in range(times):
        with pytest.raises(WrongPassword):
            sign_in(shop, login=login, password="not the word")


def failures_kept(shop: Shop) -> int:
    return int(shop.store.rows("SELECT count(*) FROM sign_in_failure")[0][0])


def test_after_ten_failures_even_the_right_password_waits_and_is_told_until_when(
    shop: Shop, fleet: Fleet, clock: Clock
) -> None:
    clock.advance(seconds=20)
    fail(shop, "tech")
    clock.advance(minutes=5)
    with pytest.raises(TooOften, match="Try again at 08:16 UTC") as refusal:
        sign_in(shop, login=" TECH", password=PASSWORD)
    assert status_of(refusal.value) == 429
    assert refusal.value.wait.total_seconds() == 10 * 60 + 40
    clock.advance(minutes=11)
    assert sign_in(shop, login="tech", password=PASSWORD).actor == fleet.technician


def test_an_unknown_login_is_answered_as_a_known_one(shop: Shop, fleet: Fleet) -> None:
    told = []
    for login in ("tech", "nobody"):
        fail(shop, login)
        with pytest.raises(TooOften) as refusal:
            sign_in(shop, login=login, password=PASSWORD)
        told.append((refusal.value.code, refusal.value.sentence, refusal.value.field, refusal.value.wait))
    assert told[0] == told[1]


def test_others_sign_in_while_one_login_waits(shop: Shop, fleet: Fleet) -> None:
    fail(shop, "tech")
    assert sign_in(shop, login="manager", password=PASSWORD).actor == fleet.manager


def test_refused_trials_do_not_lengthen_the_wait(shop: Shop, fleet: Fleet, clock: Clock) -> None:
    fail(shop, "tech")
    for _ in range(20):
        clock.advance(seconds=40)
        with pytest.raises(TooOften):
            sign_in(shop, login="tech", password="not the word")
    clock.advance(minutes=2)
    assert sign_in(shop, login="tech", password=PASSWORD)


def test_old_failures_count_no_more_and_are_pruned(shop: Shop, fleet: Fleet, clock: Clock) -> None:
    fail(shop, "tech", MOST_FAILURES - 1)
    fail(shop, "nobody", 3)
    clock.advance(minutes=15)
    fail(shop, "tech", MOST_FAILURES - 1)
    assert failures_kept(shop) == MOST_FAILURES - 1


def test_signing_in_forgets_what_was_mistyped(shop: Shop, fleet: Fleet) -> None:
    fail(shop, "manager", 2)
    for _ in range(2):
        fail(shop, "tech", MOST_FAILURES - 1)
        sign_in(shop, login="tech", password=PASSWORD)
    assert failures_kept(shop) == 2


def test_what_was_typed_as_the_login_is_not_kept(shop: Shop, fleet: Fleet) -> None:
    fail(shop, PASSWORD, 1)
    assert PASSWORD not in str(shop.store.rows("SELECT * FROM sign_in_failure"))


def test_a_found_sign_in_does_not_serve_to_guess_the_password(shop: Shop, fleet: Fleet) -> None:
    number = receive(shop, fleet)[0]
    for _ in range(MOST_FAILURES // 2):
        with pytest.raises(WrongPassword):
            change_own_password(shop, fleet.manager, current="not the word", new=PASSWORD, again=PASSWORD)
        with pytest.raises(WrongPassword):
            sign_release(shop, fleet.manager, number, Form("form-key-1", 0), password="not the word")
    for try_again in (
        lambda: change_own_password(shop, fleet.manager, current=PASSWORD, new=PASSWORD, again=PASSWORD),
        lambda: sign_release(shop, fleet.manager, number, Form("form-key-1", 0), password=PASSWORD),
        lambda: sign_in(shop, login="manager", password=PASSWORD),
    ):
        with pytest.raises(TooOften):
            try_again()


def test_what_is_refused_for_another_reason_counts_as_no_failure(shop: Shop, fleet: Fleet) -> None:
    with pytest.raises(NotFound):
        sign_release(shop, fleet.manager, "OH-2026-9999", Form("form-key-1", 0), password=PASSWORD)
    assert failures_kept(shop) == 0
