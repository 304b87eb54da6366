"""Putting a decision rule in force: a version of its own, with who and why, and no verdict touched by it."""

import threading
from concurrent.futures import ThreadPoolExecutor
from decimal import Decimal as D
from typing import Any

import pytest

from service.actions.course import return_unrepaired
from service.actions.decision_rules import put_rule_in_force
from service.actions.recording import Form
from service.actions.rejudging import rejudge_overhaul
from service.actions.shop import Actor, Conflict, Forbidden, Refused, Shop
from service.metrology.errors import DomainError
from service.records.decision_rules import open_verdicts, rule_in_force, rule_versions
from service.workshop.decision_rule import DecisionRule, RuleKind
from service.workshop.entries import Examined
from service.workshop.vocabulary import Stage, VerdictKind
from tests.actions.at_the_bench import (
    bring_to,
    examine,
    form,
    key,
    loaded,
    newest_journal_row,
    prove,
    rebuild,
    receive,
    strip,
)
from tests.registered_fleet import PASSWORD, Clock, Fleet
from tests.small_findings import SOUND, sizes

NEAR = sizes("MIC-1", "1.1995")
"""Half a micrometre inside a limit of 1.20 mm, with U = 1 µm."""
SIMPLE = {"kind": RuleKind.SIMPLE_ACCEPTANCE}


def put(shop: Shop, actor: Actor, seen: int = 1, blank: Form | None = None, **changes: Any) -> int:
    """A rule in force, simple acceptance unless told otherwise."""
    fields = {**SIMPLE, "reason": "As agreed with the owner.", "password": PASSWORD, **changes}
    return put_rule_in_force(shop, actor, blank or Form(key(), seen), **fields)


def in_force(shop: Shop) -> DecisionRule:
    """The rule as it stands."""
    with shop.store.reading() as session:
        return rule_in_force(session)


def refuses(shop: Shop, act: Any, kind: type[DomainError]) -> DomainError:
    """The refusal, of which nothing is stored."""
    before = (in_force(shop), newest_journal_row(shop).id)
    with pytest.raises(kind) as refusal:
        act()
    assert (in_force(shop), newest_journal_row(shop).id) == before
    return refusal.value


def test_a_workshop_begins_with_the_default_of_iso_14253(shop: Shop) -> None:
    with shop.store.reading() as session:
        (first,) = rule_versions(session)
    assert (first.version, first.rule) == (1, DecisionRule(D(1), version=1))
    assert (first.in_force_from, first.person_name) == (None, "")
    assert first.rule.text == "Rule 1: ISO 14253-1, guard band 1 × U"


def test_a_manager_puts_a_rule_in_force_once_with_who_when_and_why(shop: Shop, fleet: Fleet, clock: Clock) -> None:
    clock.advance(days=3)
    blank = Form(key(), 1)
    fields = {"kind": RuleKind.GUARD_BAND_BY_UNCERTAINTY, "guard_factor": D("0.830"), "reason": " ILAC-G8 "}
    assert put(shop, fleet.manager, blank=blank, **fields) == 2
    row = newest_journal_row(shop)
    assert (row.action, row.subject_kind, row.subject_id) == ("decision-rule-in-force", "decision_rule", "2")
    assert (row.person_name, row.reason, row.at) == ("Mara Manager", "ILAC-G8", clock())
    assert row.before == '{"in_force":"Rule 1: ISO 14253-1, guard band 1 × U"}'
    assert row.after == '{"in_force":"Rule 2: ISO 14253-1, guard band 0.83 × U"}'
    with shop.store.reading() as session:
        newest = rule_versions(session)[0]
    assert (newest.in_force_from, newest.person_name, newest.reason) == (clock(), "Mara Manager", "ILAC-G8")
    assert put(shop, fleet.manager, blank=blank, **fields) == 2, "the form sent again puts nothing more in force"
    assert in_force(shop) == DecisionRule(D("0.83"), version=2)


def test_only_a_manager_with_the_own_password_puts_a_rule_in_force(shop: Shop, fleet: Fleet) -> None:
    for actor in (fleet.technician, fleet.office):
        refuses(shop, lambda actor=actor: put(shop, actor), Forbidden)
    error = refuses(shop, lambda: put(shop, fleet.manager, password="a wrong enough word"), Refused)
    assert error.field == "password"


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"reason": "  "}, "reason"),
        ({"kind": RuleKind.GUARD_BAND_BY_UNCERTAINTY}, "guard_factor"),
        ({"kind": RuleKind.GUARD_BAND_BY_UNCERTAINTY, "guard_factor": D(0)}, "guard_factor"),
        ({"kind": RuleKind.GUARD_BAND_BY_UNCERTAINTY, "guard_factor": D("3.1")}, "guard_factor"),
        ({"kind": RuleKind.GUARD_BAND_BY_UNCERTAINTY, "guard_factor": D(-1)}, "guard_factor"),
        ({"kind": RuleKind.GUARD_BAND_BY_UNCERTAINTY, "guard_factor": D("NaN")}, "guard_factor"),
        ({"kind": RuleKind.GUARD_BAND_BY_UNCERTAINTY, "guard_factor": D("Infinity")}, "guard_factor"),
        ({"kind": RuleKind.GUARD_BAND_BY_UNCERTAINTY, "guard_factor": D("0.12345678")}, "guard_factor"),
        ({"kind": RuleKind.GUARD_BAND_BY_PROBABILITY, "guard_factor": D(1)}, "probability"),
        ({"kind": RuleKind.GUARD_BAND_BY_PROBABILITY, "probability": D("0.5")}, "probability"),
        ({"kind": RuleKind.GUARD_BAND_BY_PROBABILITY, "probability": D(1)}, "probability"),
        ({"kind": RuleKind.GUARD_BAND_BY_PROBABILITY, "probability": D("0.3")}, "probability"),
        ({"kind": RuleKind.GUARD_BAND_BY_PROBABILITY, "probability": D("97.5")}, "probability"),
        ({"kind": RuleKind.GUARD_BAND_BY_PROBABILITY, "probability": D("sNaN")}, "probability"),
        ({"kind": RuleKind.GUARD_BAND_BY_UNCERTAINTY, "guard_factor": D("1.0")}, "kind"),
    ],
)
def test_a_rule_that_says_nothing_new_or_cannot_be_is_refused(
    shop: Shop, fleet: Fleet, changes: dict[str, Any], field: str
) -> None:
    error = refuses(shop, lambda: put(shop, fleet.manager, **changes), Refused)
    assert error.field == field


def test_a_manager_who_saw_another_rule_in_force_is_told_of_the_new_one(shop: Shop, fleet: Fleet) -> None:
    put(shop, fleet.second_manager)
    half = {"kind": RuleKind.GUARD_BAND_BY_UNCERTAINTY, "guard_factor": D("0.5")}
    error = refuses(shop, lambda: put(shop, fleet.manager, **half), Conflict)
    assert isinstance(error, Conflict)
    assert error.changes == ("Milo Manager: Rule 2: Simple acceptance, JCGM 106:2012 8.2. As agreed with the owner.",)
    assert put(shop, fleet.manager, seen=2, **half) == 3


def test_of_two_managers_at_once_one_puts_a_rule_in_force(shop: Shop, fleet: Fleet) -> None:
    start = threading.Barrier(2)

    def attempt(actor: Actor) -> str:
        start.wait()
        try:
            return str(put(shop, actor))
        except DomainError as refusal:
            return refusal.code

    with ThreadPoolExecutor(2) as pool:
        assert sorted(pool.map(attempt, (fleet.manager, fleet.second_manager))) == ["2", "changed"]
    assert in_force(shop).version == 2


def test_another_rule_changes_no_verdict_that_was_given_and_judges_the_next(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.STRIPPED)
    examine(shop, fleet, number, "body-seat-width", NEAR)
    before = shop.store.rows("SELECT payload FROM entry ORDER BY id")
    assert put(shop, fleet.manager) == 2
    assert shop.store.rows("SELECT payload FROM entry ORDER BY id") == before
    finding = loaded(shop, number).record.finding("body-seat-width")
    assert finding is not None
    assert (finding.outcome.verdict, finding.outcome.rule) == (
        VerdictKind.NOT_PROVEN,
        "Rule 1: ISO 14253-1, guard band 1 × U",
    )
    again = examine(shop, fleet, number, "body-seat-width", NEAR).content
    assert isinstance(again, Examined)
    assert (again.outcome.verdict, again.outcome.rule, again.rejudged_from) == (
        VerdictKind.CONFORMS,
        "Rule 2: Simple acceptance, JCGM 106:2012 8.2",
        None,
    )


@pytest.mark.parametrize(("percent", "verdict"), [("80", VerdictKind.CONFORMS), ("95", VerdictKind.NOT_PROVEN)])
def test_a_rule_by_probability_judges_a_reading(shop: Shop, fleet: Fleet, percent: str, verdict: VerdictKind) -> None:
    # One standard uncertainty inside one limit: the probability of conformity is 84 % (JCGM 106:2012, 7.4, Table 1).
    put(shop, fleet.manager, kind=RuleKind.GUARD_BAND_BY_PROBABILITY, probability=D(percent) / 100)
    number = bring_to(shop, fleet, Stage.STRIPPED)
    judged = examine(shop, fleet, number, "body-seat-width", NEAR).content
    assert isinstance(judged, Examined)
    assert judged.outcome.verdict is verdict
    assert judged.outcome.rule == f"Rule 2: JCGM 106:2012 8.3, guard band for {percent} % probability"


def test_bench_and_torque_carry_the_rule_in_force_too(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.AGREED)
    put(shop, fleet.manager, kind=RuleKind.GUARD_BAND_BY_UNCERTAINTY, guard_factor=D(2))
    rebuild(shop, fleet, number)
    prove(shop, fleet, number)
    record = loaded(shop, number).record
    assert {done.outcome.rule for _, done in record.torqued.values()} == {
        "Rule 2, torque: Simple acceptance, JCGM 106:2012 8.2"
    }
    rules = [entry.content.outcome.rule for entry in record.entries if entry.content.kind == "bench-step"]
    assert [rule for rule in rules if rule] == ["Rule 2: ISO 14253-1, guard band 2 × U"]
    with shop.store.reading() as session:
        assert [(one.number, one.earlier) for one in open_verdicts(session, rule_in_force(session))] == [(number, True)]


def test_only_open_injectors_with_measured_verdicts_are_counted(shop: Shop, fleet: Fleet) -> None:
    stripped = bring_to(shop, fleet, Stage.STRIPPED)
    examine(shop, fleet, stripped, "body-pin", SOUND["body-pin"])
    measured, gone = receive(shop, fleet, "A-2", "A-3")
    for number in (measured, gone):
        strip(shop, fleet, number)
        examine(shop, fleet, number, "body-seat-width", NEAR)
    return_unrepaired(shop, fleet.manager, gone, form(shop, gone), reason="The owner asks.")

    def found() -> list[tuple[str, bool]]:
        with shop.store.reading() as session:
            return [(one.number, one.earlier) for one in open_verdicts(session, rule_in_force(session))]

    assert found() == [(measured, False)]
    put(shop, fleet.manager)
    assert found() == [(measured, True)]
    rejudge_overhaul(shop, fleet.manager, measured, form(shop, measured), reason="Rule 2.")
    assert found() == [(measured, False)]
