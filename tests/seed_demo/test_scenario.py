"""The invented workshop shows every stage, verdict and exit, and its lists agree with its entries."""

import json
from collections import Counter
from datetime import timedelta
from decimal import Decimal
from itertools import pairwise

import pytest

from seed_demo.cast import ALDER, CEDAR, KARL, PETRA
from seed_demo.drawn_photographs import UM_PER_PIXEL
from seed_demo.instruments import FAILED
from seed_demo.past_stories import RETURNING_SERIAL
from seed_demo.rigs import SECOND_RIG, USUAL_RIG
from service.actions.accounts import actor_by_login
from service.actions.hole_images import measure_hole
from service.actions.looking_at_traces import look_at_trace
from service.actions.recalling import RecallAsked, look_at_batch_recall, look_at_instrument_recall
from service.metrology.hole_image.given_scale import BarScale
from service.pages.pressure_drift import drift_told
from service.records.hole_evaluation_text import evaluation_of_text
from service.records.instrument_reads import instrument_history, instruments
from service.records.overhaul_store import LoadedOverhaul
from service.records.rig_reads import known_rigs
from service.records.store import Store
from service.records.unit_reads import units_of_serial
from service.workshop.agreement import agreement_lines
from service.workshop.calibration import CalibrationState
from service.workshop.disposition import propose
from service.workshop.entries import DiscsChanged, PartFitted
from service.workshop.proving import proving_run
from service.workshop.release_gate import release_blockers
from service.workshop.stages import stage_of
from service.workshop.vocabulary import InstrumentKind, Stage, VerdictKind
from tests.documents.printed import reader_of
from tests.registered_fleet import shop_over
from tests.seed_demo.conftest import END

pytestmark = pytest.mark.xdist_group("demo")

Overhauls = list[LoadedOverhaul]


def _blocked_by(overhauls: Overhauls, code: str) -> list[str]:
    return [one.unit.serial for one in overhauls if any(block.code == code for block in release_blockers(one.record))]


def test_every_stage_and_every_exit_is_there(overhauls: Overhauls) -> None:
    assert {one.row.stage for one in overhauls} == {stage.value for stage in Stage}


def test_every_stored_stage_and_hold_is_what_the_entries_say(overhauls: Overhauls) -> None:
    for one in overhauls:
        assert one.row.stage == stage_of(one.record).value, one.row.number
        assert one.row.held is (one.record.held is not None), one.row.number
        assert one.row.last_seq == one.record.last_seq, one.row.number
        assert (one.row.closed_at is not None) is stage_of(one.record).is_exit, one.row.number


def test_every_verdict_is_there(demo: Store) -> None:
    verdicts = {row[0] for row in demo.rows("SELECT DISTINCT verdict FROM entry WHERE kind = 'examined'")}
    assert verdicts == {kind.value for kind in VerdictKind} - {VerdictKind.NOT_MEASURED.value}


def test_between_25_and_40_injectors_are_enough_to_look_at(demo: Store) -> None:
    assert 25 <= demo.rows("SELECT count(*) FROM unit")[0][0] <= 40


def test_one_injector_is_held(overhauls: Overhauls) -> None:
    assert [one.unit.serial for one in overhauls if one.record.held] == ["A2-2001"]


def test_one_serial_has_three_earlier_overhauls_is_open_again_and_shows_how_it_drifts(
    demo: Store, overhauls: Overhauls
) -> None:
    visits = [one.row for one in overhauls if one.unit.serial == RETURNING_SERIAL]
    assert [row.stage for row in visits] == ["released", "released", "released", "stripped"]
    told = drift_told(demo, units_of_serial(demo, RETURNING_SERIAL, None)["TWO-STROKE-A"])
    assert told is not None
    assert "due after 8\N{NO-BREAK SPACE}000 h, as the limit sheet states" in told.expected
    assert "bar again, it is then expected to open at" in told.expected


def test_a_consignment_is_late(overhauls: Overhauls) -> None:
    late = {
        one.consignment.number for one in overhauls if not one.row.closed_at and one.consignment.due_on < END.date()
    }
    assert len(late) == 1


def test_a_run_on_the_rig_that_leaked_is_indicative_and_blocks_the_release(overhauls: Overhauls) -> None:
    assert _blocked_by(overhauls, "run-indicative") == ["CA-9005"]


def test_the_usual_rig_was_checked_this_morning_and_the_other_was_not(demo: Store) -> None:
    with demo.reading() as session:
        known = {one.rig.code: one for one in known_rigs(session, END.date())}
    check = known[USUAL_RIG].check
    assert check is not None
    assert check.good
    assert known[SECOND_RIG].check is None
    assert all(one.rig.oil_due is not None and one.rig.oil_due >= END.date() for one in known.values())


def test_a_bench_run_is_void_after_a_disc_change_and_blocks_the_release(overhauls: Overhauls) -> None:
    assert _blocked_by(overhauls, "run-void") == ["BD-4002"]
    void = next(one for one in overhauls if one.unit.serial == "BD-4002")
    run = proving_run(void.record)
    assert run is not None
    assert not run.passed
    assert run.failed_step is None, "it had passed before the discs were changed"
    assert any(True for _ in void.record.all_of(DiscsChanged))


def test_a_concession_was_granted_to_a_released_injector_and_another_is_awaited(overhauls: Overhauls) -> None:
    granted = [
        one.unit.serial
        for one in overhauls
        if one.row.stage == "released" and (concession := one.record.concession("nozzle")) and concession.granted
    ]
    assert granted == ["A3-3002"]
    assert _blocked_by(overhauls, "no-concession") == ["A2-2003"]


def test_the_office_has_a_proposal_to_answer_has_accepted_and_has_declined(overhauls: Overhauls) -> None:
    answers: dict[str, set[bool | None]] = {}
    for one in overhauls:
        lines = agreement_lines(one.record, propose(one.record))
        if lines and one.row.closed_at is None:
            answers[one.unit.serial] = {line.accepted for line in lines}
    assert answers == {"A1-1003": {None}, "A1-1005": {True}, "BD-4001": {False}}


def test_three_injectors_are_ready_to_sign(overhauls: Overhauls) -> None:
    ready = [one.unit.serial for one in overhauls if not one.row.closed_at and not release_blockers(one.record)]
    assert sorted(ready) == ["A1-1002", "A1-1004", "CA-9002"]


def test_every_released_injector_has_a_certificate_with_its_file(demo: Store) -> None:
    rows = demo.rows(
        "SELECT o.number, f.content FROM overhaul o LEFT JOIN certificate c ON c.overhaul_id = o.id "
        "LEFT JOIN certificate_file f ON f.certificate_id = c.id WHERE o.stage = 'released'"
    )
    assert rows
    for number, content in rows:
        assert content is not None, number
        assert bytes(content).startswith(b"%PDF"), number


def test_nothing_is_dated_after_the_moment_the_demonstration_was_made(demo: Store, overhauls: Overhauls) -> None:
    for one in overhauls:
        moments = [one.consignment.received_at, *(entry.at for entry in one.record.entries)]
        assert moments == sorted(moments), one.row.number
        assert moments[-1] <= END, one.row.number
    newest = max(entry.at for one in overhauls for entry in one.record.entries)
    assert END - newest < timedelta(days=2), "the demonstration never looks stale"


def test_the_register_has_every_kind_one_overdue_one_in_quarantine_and_one_withdrawn(demo: Store) -> None:
    register = instruments(demo, END.date())
    assert {line.kind for line in register} == set(InstrumentKind)
    standings = Counter(line.standing for line in register)
    for one in (CalibrationState.OVERDUE, CalibrationState.QUARANTINED, CalibrationState.WITHDRAWN):
        assert standings[one] == 1, one
    assert not standings[CalibrationState.NONE]


def test_every_instrument_has_a_history_without_a_gap_and_no_two_pins_are_quite_alike(demo: Store) -> None:
    with demo.reading() as session:
        histories = [instrument_history(session, line.code) for line in instruments(demo, END.date())]
    for found in histories:
        assert found is not None
        assert len(found.calibrations) >= 2, found.row.code
        for newer, older in pairwise(line.calibration for line in found.calibrations):
            assert newer.on is not None
            assert newer.on <= older.due, found.row.code
        if found.row.code == "PS-01":
            newest = found.calibrations[0].calibration.points
            assert [point.nominal for point in newest] == list(found.pins)
            assert 0 < max(abs(point.error) for point in newest) < Decimal("0.002")


def test_the_micrometer_that_failed_turns_the_verdict_of_a_released_certificate_and_not_every_one(demo: Store) -> None:
    shop = shop_over(demo)
    with demo.reading() as session:
        manager = actor_by_login(session, KARL.login)
    found = look_at_instrument_recall(shop, manager, FAILED, RecallAsked())
    assert found.failed is not None
    assert len(found.correction.points) > 1, "its error grows over the range"
    told = {one.injector.serial: one.again.after for one in found.readings if one.injector.certificate}
    assert told == {"CS-7001": "Does not conform", "A3-3001": "Conforms"}
    assert {one.injector.vessel for one in found.readings} == {CEDAR.vessels[0].name, ALDER.vessels[2].name}


def test_a_bag_of_seals_leads_to_every_injector_that_it_was_used_for(demo: Store, overhauls: Overhauls) -> None:
    shop = shop_over(demo)
    with demo.reading() as session:
        manager = actor_by_login(session, KARL.login)
    bags = {fitted.batch for one in overhauls for _, fitted in one.record.all_of(PartFitted) if "SEALS" in fitted.batch}
    reached = [{one.injector.number for one in look_at_batch_recall(shop, manager, bag)} for bag in bags]
    assert max(len(numbers) for numbers in reached) >= 4
    assert set.union(*reached) == {
        one.row.number for one in overhauls if any(True for _ in one.record.all_of(PartFitted))
    }


def test_one_photographed_hole_was_accepted_and_a_picture_that_is_not_as_it_should_be_waits(demo: Store) -> None:
    shop = shop_over(demo)
    with demo.reading() as session:
        petra = actor_by_login(session, PETRA.login)
    photographs = demo.rows("SELECT p.id, o.number, p.remark FROM photograph p JOIN overhaul o ON o.id = p.overhaul_id")
    assert all("Drawn for the demonstration" in remark for _, _, remark in photographs)
    ((first, _, _), (second, number, _)) = photographs
    ((decided, accepted, text),) = demo.rows("SELECT photograph_id, accepted, evaluation FROM hole_evaluation")
    assert (decided, bool(accepted)) == (first, True)
    drawn = 266 * UM_PER_PIXEL  # mean of the axes, 268 and 264 pixels
    assert abs(evaluation_of_text(text).mean_diameter.value_um - drawn) < 1
    bar = BarScale(
        length_um=Decimal(500),
        length_uncertainty_um=Decimal(1),
        start_px=(Decimal(60), Decimal(360)),
        end_px=(Decimal(185), Decimal(360)),
    )
    assert len(measure_hole(shop, petra, number, second, hole=3, scale=bar).found.quality.not_nominal) >= 2


def test_a_certificate_shows_a_trace_and_another_trace_waits_at_the_rig_with_a_slip_rejected(demo: Store) -> None:
    shop = shop_over(demo)
    with demo.reading() as session:
        petra = actor_by_login(session, PETRA.login)
    kept = demo.rows(
        "SELECT t.id, o.number, u.serial, o.stage FROM bench_trace t JOIN overhaul o ON o.id = t.overhaul_id "
        "JOIN unit u ON u.id = o.unit_id ORDER BY t.id"
    )
    assert [tuple(row[2:]) for row in kept] == [("A2-8001", "released"), ("CA-9001", "rebuilt")]
    for trace_id, number, _, _ in kept:
        assert look_at_trace(shop, petra, number, trace_id)[0].content.startswith(b"Invented for the demonstration")
    waiting, _ = look_at_trace(shop, petra, kept[1][1], kept[1][0])
    found = waiting.analysed()
    assert len(found.analysis.openings) == 5
    assert [round(one.opening_bar) for one in waiting.accepted(found).openings] == [351, 354, 353, 353]
    ((content,),) = demo.rows(
        "SELECT f.content FROM certificate_file f JOIN certificate c ON c.id = f.certificate_id "
        "WHERE c.overhaul_id = (SELECT overhaul_id FROM bench_trace WHERE id = ?)",
        (kept[0][0],),
    )
    attached = json.loads(reader_of(bytes(content)).attachments["certificate.json"][0])
    assert [round(one["opening_bar"]) for one in attached["traces"][0]["openings"]] == [281, 284, 282]


def test_every_name_that_could_be_taken_for_real_says_that_it_is_invented(demo: Store) -> None:
    for table, column in (("operator", "name"), ("injector_type", "name"), ("instrument", "description")):
        for (text,) in demo.rows(f"SELECT {column} FROM {table}"):  # noqa: S608
            assert "invented" in text.lower(), text


def test_every_passage_is_in_the_journal(demo: Store, overhauls: Overhauls) -> None:
    beside = "('photograph', 'hole-evaluation', 'bench-trace', 'bench-trace-reading', 'bench-trace-rejection')"
    passage = f"SELECT subject_id FROM journal WHERE subject_kind = 'overhaul' AND action NOT IN {beside}"  # noqa: S608
    journalled = Counter(row[0] for row in demo.rows(passage))
    assert journalled == Counter({one.row.number: one.row.last_seq for one in overhauls if one.row.last_seq})


def test_a_sheet_was_revised_and_each_overhaul_stays_on_the_revision_it_started_under(
    demo: Store, overhauls: Overhauls
) -> None:
    states = {tuple(row) for row in demo.rows("SELECT revision, state FROM sheet_revision")}
    assert states == {(1, "superseded"), (2, "approved"), (1, "approved"), (2, "draft")}
    visits = [one.sheet.revision for one in overhauls if one.unit.serial == RETURNING_SERIAL]
    assert visits == [1, 1, 2, 2]
