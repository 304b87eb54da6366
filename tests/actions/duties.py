"""What every action on an injector owes: its roles, one entry for one form, a conflict told, a journal row."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from service.actions.recording import Form, Recorded
from service.actions.shop import Actor, Conflict, Forbidden, NotFound, Shop
from service.metrology.errors import DomainError
from service.workshop.permitted import NotPermitted
from tests.actions.at_the_bench import entry_count, form, key, newest_journal_row
from tests.registered_fleet import Fleet

Act = Callable[[Actor, str, Form], Recorded]


def refuses(shop: Shop, number: str, act: Callable[[], object], kind: type[DomainError]) -> DomainError:
    """The refusal, of which nothing is stored: neither an entry nor a journal row."""
    before = (entry_count(shop, number), newest_journal_row(shop).id)
    with pytest.raises(kind) as refusal:
        act()
    assert (entry_count(shop, number), newest_journal_row(shop).id) == before
    assert refusal.value.sentence
    return refusal.value


def keeps_out(shop: Shop, number: str, act: Act, *actors: Actor) -> None:
    """People of another role are refused."""
    for actor in actors:
        error = refuses(shop, number, lambda actor=actor: act(actor, number, form(shop, number)), Forbidden)  # type: ignore[misc]
        assert error.code == "role"


def knows_no_stranger(shop: Shop, fleet: Fleet, number: str, act: Act, actor: Actor) -> None:
    """An unknown overhaul is not found."""
    refuses(shop, number, lambda: act(actor, "OH-2026-9999", form(shop, number)), NotFound)


def is_recorded_once(shop: Shop, number: str, act: Act, actor: Actor) -> Recorded:
    """The form makes one entry with its journal row; sent again it makes none and gives the same answer."""
    before, blank = entry_count(shop, number), form(shop, number)
    done = act(actor, number, blank)
    assert entry_count(shop, number) == before + 1
    row = newest_journal_row(shop)
    assert (row.person_id, row.person_name) == actor.signature
    assert (row.subject_kind, row.subject_id) == ("overhaul", number)
    assert row.action == done.content.kind
    assert row.at == shop.now()
    assert '"stage":' in row.before
    assert f'"stage":"{done.stage.value}"' in row.after
    assert f'"entry":{done.seq}' in row.after
    again = act(actor, number, blank)
    assert again == done
    assert entry_count(shop, number) == before + 1
    assert newest_journal_row(shop).id == row.id
    return done


def tells_what_changed(shop: Shop, number: str, act: Act, actor: Actor, other: Actor) -> None:
    """A form opened before somebody else recorded on the same thing is refused and told what they recorded."""
    stale = form(shop, number)
    done = act(other, number, form(shop, number))
    error = refuses(shop, number, lambda: act(actor, number, replace(stale, key=key())), Conflict)
    assert isinstance(error, Conflict)
    assert error.changes
    assert other.name in error.changes[-1]
    assert done.seq > stale.seen


def is_out_of_place(shop: Shop, number: str, act: Act, actor: Actor) -> None:
    """At this stage the action is refused with the remedy."""
    error = refuses(shop, number, lambda: act(actor, number, form(shop, number)), NotPermitted)
    assert error.code in {"stage", "purpose", "over", "no-task", "no-line", "not-assembled"}
