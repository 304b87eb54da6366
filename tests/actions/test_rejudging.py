"""Judging an injector again under the rule in force: same measurement, new entry, told in the journal."""

import json
from decimal import Decimal as D

import pytest
from sqlmodel import col, select

from service.actions.course import hold, lift_hold, return_unrepaired
from service.actions.recording import Form
from service.actions.rejudging import Rejudged, rejudge_overhaul
from service.actions.releasing import sign_release
from service.actions.shop import Actor, Conflict, Forbidden, NotFound, Refused, Shop
from service.metrology.errors import DomainError
from service.records.tables import EntryInstrument, JournalRow
from service.workshop.decision_rule import RuleKind
from service.workshop.disposition import propose
from service.workshop.entries import Examined
from service.workshop.judged_rules import judged_earlier, rules_judged_by
from service.workshop.measurements import Measurement
from service.workshop.permitted import NotPermitted
from service.workshop.vocabulary import Disposition, Phase, Stage, VerdictKind
from tests.actions.at_the_bench import (
    bring_to,
    entry_count,
    examine,
    examine_all,
    form,
    key,
    loaded,
    newest_journal_row,
    receive,
    strip,
)
from tests.actions.duties import refuses
from tests.actions.test_decision_rules import NEAR, in_force, put
from tests.calibrating import calibrate
from tests.registered_fleet import PASSWORD, Fleet
from tests.small_findings import REJECTED, sizes

FOUND: dict[str, Measurement] = {"body-seat-width": NEAR}
WIDE = {"kind": RuleKind.GUARD_BAND_BY_UNCERTAINTY, "guard_factor": D(3)}


def judge_again(shop: Shop, actor: Actor, number: str, blank: Form | None = None, reason: str = "Rule 2.") -> Rejudged:
    return rejudge_overhaul(shop, actor, number, blank or form(shop, number), reason=reason)


def finding(shop: Shop, number: str, characteristic: str = "body-seat-width") -> Examined:
    found = loaded(shop, number).record.finding(characteristic)
    assert found is not None
    return found


def test_a_verdict_judged_again_is_a_new_entry_with_the_same_measurement(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.EXAMINED, FOUND)
    before = finding(shop, number)
    seq = next(seq for seq, item in loaded(shop, number).record.all_of(Examined) if item == before)
    entries = entry_count(shop, number)
    assert propose(loaded(shop, number).record)["body"].disposition is Disposition.REWORK
    put(shop, fleet.manager)
    done = judge_again(shop, fleet.manager, number)
    assert [(one.characteristic, one.rejudged_from, one.before, one.after) for one in done.changed] == [
        ("body-seat-width", seq, VerdictKind.NOT_PROVEN, VerdictKind.CONFORMS)
    ]
    after = finding(shop, number)
    assert (after.measurement, after.rejudged_from) == (before.measurement, seq)
    assert (after.outcome.verdict, after.outcome.rule) == (
        VerdictKind.CONFORMS,
        "Rule 2: Simple acceptance, JCGM 106:2012 8.2",
    )
    kept = {one.characteristic: one.seq for one in done.same}
    assert set(kept) == {item.key for item in loaded(shop, number).record.sheet.characteristics} - {"body-seat-width"}
    by_rule = {"nozzle-ovality", "needle-guide", "spring-length", "spring-rate"}
    assert {name for name, made in kept.items() if made is not None} == by_rule, "the others have no guard band"
    assert entry_count(shop, number) == entries + 5
    assert propose(loaded(shop, number).record)["body"].disposition is Disposition.KEEP
    assert judged_earlier(loaded(shop, number).record, in_force(shop)) == ()


def test_each_entry_is_journalled_with_the_verdict_before_and_after(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.EXAMINED, FOUND)
    put(shop, fleet.manager)
    newest = newest_journal_row(shop).id or 0
    done = judge_again(shop, fleet.manager, number, reason=" New rule for this owner ")
    with shop.store.reading() as session:
        rows = session.exec(select(JournalRow).where(col(JournalRow.id) > newest).order_by(col(JournalRow.id))).all()
    made = [one for one in (*done.changed, *done.same) if one.seq is not None]
    assert len(rows) == len(made) == 5
    told = {json.loads(row.after)["entry"]: row for row in rows}
    for one in made:
        row = told[one.seq]
        assert (row.action, row.subject_id, row.person_name) == ("rejudged", number, "Mara Manager")
        assert row.reason == "New rule for this owner"
        before, after = json.loads(row.before), json.loads(row.after)
        assert (before["verdict"], before["entry"]) == (one.before.value, one.rejudged_from)
        assert before["rule"] == "Rule 1: ISO 14253-1, guard band 1 × U"
        assert (after["verdict"], after["rule"]) == (one.after.value, one.rule)
    row = told[done.changed[0].seq]
    assert "Width of the body's seat, judged again" in row.after


def test_the_instrument_of_the_measurement_stays_with_the_new_entry(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.EXAMINED, FOUND)
    count = select(EntryInstrument)
    with shop.store.reading() as session:
        before = len(session.exec(count).all())
    put(shop, fleet.manager)
    judge_again(shop, fleet.manager, number)
    with shop.store.reading() as session:
        assert len(session.exec(count).all()) == before + 5


def test_the_same_form_judges_once_and_answers_the_same(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.EXAMINED, FOUND)
    put(shop, fleet.manager)
    blank = form(shop, number)
    done = judge_again(shop, fleet.manager, number, blank)
    entries = entry_count(shop, number)
    examine(shop, fleet, number, "body-seat-width", REJECTED["body-seat-width"])
    assert judge_again(shop, fleet.manager, number, blank) == done
    assert entry_count(shop, number) == entries + 1


def test_where_every_verdict_is_by_the_rule_in_force_nothing_is_recorded(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.EXAMINED, FOUND)
    entries, row = entry_count(shop, number), newest_journal_row(shop).id
    done = judge_again(shop, fleet.manager, number)
    assert done.changed == ()
    assert {one.seq for one in done.same} == {None}
    assert len(done.same) == 10
    assert (entry_count(shop, number), newest_journal_row(shop).id) == (entries, row)


def test_only_a_manager_judges_again_and_says_why(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.EXAMINED, FOUND)
    put(shop, fleet.manager)
    for actor in (fleet.technician, fleet.office):
        refuses(shop, number, lambda actor=actor: judge_again(shop, actor, number), Forbidden)  # type: ignore[misc]
    error = refuses(shop, number, lambda: judge_again(shop, fleet.manager, number, reason=" "), Refused)
    assert error.field == "reason"
    refuses(shop, number, lambda: judge_again(shop, fleet.manager, "OH-2026-9999", form(shop, number)), NotFound)


def test_a_manager_who_missed_a_new_examination_is_told_of_it(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.EXAMINED, FOUND)
    stale = form(shop, number)
    examine(shop, fleet, number, "body-seat-width", REJECTED["body-seat-width"])
    put(shop, fleet.manager)
    error = refuses(shop, number, lambda: judge_again(shop, fleet.manager, number, stale), Conflict)
    assert isinstance(error, Conflict)
    assert "Tove Technician" in error.changes[0]


def test_a_manager_who_saw_another_rule_is_told_of_the_new_one(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.EXAMINED, FOUND)
    put(shop, fleet.manager)

    def act() -> Rejudged:
        return rejudge_overhaul(shop, fleet.manager, number, form(shop, number), reason="Rule 1.", rule_version=1)

    error = refuses(shop, number, act, Conflict)
    assert isinstance(error, Conflict)
    assert error.changes == ("Rule 2: Simple acceptance, JCGM 106:2012 8.2",)


def test_a_held_injector_waits_and_a_released_one_keeps_its_verdicts(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.PROVED)
    put(shop, fleet.manager)
    hold(shop, fleet.technician, number, form(shop, number), reason="Wrong serial?", password=PASSWORD)
    refuses(shop, number, lambda: judge_again(shop, fleet.manager, number), NotPermitted)
    lift_hold(shop, fleet.manager, number, form(shop, number), reason="It is right.", password=PASSWORD)
    sign_release(shop, fleet.manager, number, form(shop, number), password=PASSWORD)
    error = refuses(shop, number, lambda: judge_again(shop, fleet.manager, number), NotPermitted)
    assert error.code == "over"


def test_a_stricter_rule_takes_a_proved_injector_back_to_where_its_parts_are_settled(shop: Shop, fleet: Fleet) -> None:
    # 1.1985 mm is inside by 1.5 µm: enough for one U of 1 µm, not for three.
    number = bring_to(shop, fleet, Stage.PROVED, {"body-seat-width": sizes("MIC-1", "1.1985")})
    put(shop, fleet.manager, **WIDE)
    done = judge_again(shop, fleet.manager, number)
    changed = {one.characteristic: one.after for one in done.changed if one.phase is Phase.FOUND}
    assert changed["body-seat-width"] is VerdictKind.NOT_PROVEN
    assert done.stage is Stage.EXAMINED
    assert loaded(shop, number).row.stage == "examined"


def test_the_certificate_names_every_rule_that_a_verdict_was_judged_by(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.EXAMINED)
    put(shop, fleet.manager)
    examine(shop, fleet, number, "spring-rate", finding(shop, number, "spring-rate").measurement)
    assert rules_judged_by(loaded(shop, number).record) == (
        "Rule 1: ISO 14253-1, guard band 1 × U",
        "Rule 2: Simple acceptance, JCGM 106:2012 8.2",
    )
    judge_again(shop, fleet.manager, number)
    assert rules_judged_by(loaded(shop, number).record) == ("Rule 2: Simple acceptance, JCGM 106:2012 8.2",)


def test_a_form_key_of_another_injector_judges_nothing(shop: Shop, fleet: Fleet) -> None:
    first = bring_to(shop, fleet, Stage.EXAMINED, FOUND)
    second = receive(shop, fleet, "A-2")[0]
    strip(shop, fleet, second)
    examine_all(shop, fleet, second, FOUND)
    put(shop, fleet.manager)
    used = Form(key(), form(shop, first).seen)
    judge_again(shop, fleet.manager, first, used)
    error = refuses(shop, second, lambda: judge_again(shop, fleet.manager, second, used), DomainError)
    assert error.code == "form-key"


@pytest.mark.parametrize("readings", [("1.40",), ("1.2015",)])
def test_what_fails_for_certain_fails_under_every_rule(shop: Shop, fleet: Fleet, readings: tuple[str, ...]) -> None:
    number = bring_to(shop, fleet, Stage.EXAMINED, {"body-seat-width": sizes("MIC-1", *readings)})
    put(shop, fleet.manager)
    assert judge_again(shop, fleet.manager, number).changed == ()
    assert finding(shop, number).outcome.verdict is VerdictKind.DOES_NOT_CONFORM


def test_a_calibration_changes_no_verdict_that_was_given_and_none_that_is_judged_again(
    shop: Shop, fleet: Fleet
) -> None:
    # 1.1985 mm is inside by 1.5 µm: proven with U = 1 µm, not with the 2 µm of a later calibration.
    number = bring_to(shop, fleet, Stage.EXAMINED, {"body-seat-width": sizes("MIC-1", "1.1985")})
    before, entries = finding(shop, number), entry_count(shop, number)
    calibrate(shop, fleet, expanded_uncertainty=D("0.002"))
    assert finding(shop, number) == before
    assert before.outcome.verdict is VerdictKind.CONFORMS
    assert judge_again(shop, fleet.manager, number).changed == ()
    assert entry_count(shop, number) == entries, "judged by the rule in force already, with what it was measured with"
    put(shop, fleet.manager, kind=RuleKind.GUARD_BAND_BY_UNCERTAINTY, guard_factor=D("1.2"))
    assert judge_again(shop, fleet.manager, number).changed == ()
    after = finding(shop, number)
    assert (after.outcome.verdict, after.measurement) == (VerdictKind.CONFORMS, before.measurement)
    measured = examine(shop, fleet, number, "body-seat-width", sizes("MIC-1", "1.1985")).content
    assert isinstance(measured, Examined)
    assert measured.outcome.verdict is VerdictKind.NOT_PROVEN, "the next reading is judged with the new calibration"


def test_an_injector_that_left_without_release_keeps_its_verdicts_too(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.EXAMINED, FOUND)
    put(shop, fleet.manager)
    return_unrepaired(shop, fleet.manager, number, form(shop, number), reason="The owner asks.")
    error = refuses(shop, number, lambda: judge_again(shop, fleet.manager, number), NotPermitted)
    assert error.code == "over"
