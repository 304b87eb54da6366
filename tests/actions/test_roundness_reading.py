"""A section measured at the bench: recorded with its verdict, kept whole, recalled and judged again."""

import json
from decimal import Decimal as D

import pytest
from sqlmodel import col, select

from service.actions.examining import record_examination, roundness_reading
from service.actions.recording import Recorded
from service.actions.rejudging import rejudge_overhaul
from service.actions.releasing import sign_release
from service.actions.settling import settle_as_proposed
from service.actions.shop import Shop
from service.metrology.errors import DomainError
from service.records.decision_rules import open_verdicts, rule_in_force
from service.records.tables import EntryInstrument, EntryRow, Instrument
from service.workshop.calibration import CalibratedPoint
from service.workshop.correction import Correction
from service.workshop.decision_rule import RuleKind
from service.workshop.disposition import propose
from service.workshop.entries import Examined
from service.workshop.measurements import RoundnessMeasurement
from service.workshop.recall import judge_corrected
from service.workshop.section_profile import MOST_ROWS, MeasuredProfile, profile_from_text
from service.workshop.vocabulary import Disposition, Phase, ProfileColumns, VerdictKind
from tests.actions.at_the_bench import entry_count, examine, form, loaded, newest_journal_row, receive, strip
from tests.actions.test_decision_rules import put
from tests.documents.printed import words_of
from tests.pages.at_the_bench import received
from tests.registered_fleet import PASSWORD, Fleet
from tests.round_sheet import FORM_TESTER, KEY, ROUND, points_of, put_in_force, text_of
from tests.small_findings import SOUND


@pytest.fixture
def number(shop: Shop, fleet: Fleet) -> str:
    """An injector stripped, on the sheet with roundness."""
    put_in_force(shop, fleet.manager)
    (received,) = receive(shop, fleet)
    strip(shop, fleet, received)
    return received


def profile(lobes_um: dict[int, float], count: int = 72) -> MeasuredProfile:
    return profile_from_text(text_of(points_of(lobes_um, count)), ProfileColumns.POINTS)


def measure(
    shop: Shop, fleet: Fleet, number: str, measured: MeasuredProfile, instrument: str = FORM_TESTER.code, key: str = KEY
) -> Recorded:
    return record_examination(
        shop,
        fleet.technician,
        number,
        form(shop, number),
        characteristic=key,
        phase=Phase.FOUND,
        measure=roundness_reading(shop, measured, instrument),
    )


def finding(shop: Shop, number: str) -> Examined:
    found = loaded(shop, number).record.finding(KEY)
    assert found is not None
    return found


def test_a_lobed_guide_asks_for_a_new_assembly(shop: Shop, fleet: Fleet, number: str) -> None:
    for key in ("needle-seat", "needle-guide"):
        examine(shop, fleet, number, key, SOUND[key])
    measure(shop, fleet, number, profile({3: 4.0}))
    assert finding(shop, number).outcome.verdict is VerdictKind.DOES_NOT_CONFORM
    assert propose(loaded(shop, number).record)["needle"].disposition is Disposition.REPLACE_ASSEMBLY
    row = newest_journal_row(shop)
    after = json.loads(row.after) if isinstance(row.after, str) else row.after
    assert after["title"] == "Roundness of the needle's guide"
    assert after["sentence"].startswith("Roundness deviation: 0.008 mm is beyond the limit")


def test_the_longest_profile_comes_back_as_it_was_measured(shop: Shop, fleet: Fleet, number: str) -> None:
    longest = profile({2: 0.5, 500: 0.05}, MOST_ROWS)
    measure(shop, fleet, number, longest)
    measured = finding(shop, number).measurement
    assert isinstance(measured, RoundnessMeasurement)
    assert (measured.rows, measured.columns) == (longest.rows, longest.columns)
    assert measured.instrument.code == FORM_TESTER.code
    with shop.store.reading() as session:
        stored = session.exec(select(EntryRow.payload).order_by(col(EntryRow.id).desc()).limit(1)).one()
        codes = session.exec(
            select(Instrument.code).join(EntryInstrument, col(EntryInstrument.instrument_id) == Instrument.id)
        ).all()
    assert len(stored) < 100_000
    assert FORM_TESTER.code in codes, "a recall of the instrument finds the reading"


@pytest.mark.parametrize(
    ("instrument", "lobes_um", "code"),
    [
        ("NONE-1", {2: 0.5}, "no-instrument"),
        ("BORE-1", {2: 0.5}, "instrument-kind"),
        (FORM_TESTER.code, {2: 120.0}, "instrument-range"),
    ],
)
def test_a_wrong_instrument_is_refused_and_nothing_is_kept(
    shop: Shop, fleet: Fleet, number: str, instrument: str, lobes_um: dict[int, float], code: str
) -> None:
    before = entry_count(shop, number)
    with pytest.raises(DomainError) as refused:
        measure(shop, fleet, number, profile(lobes_um), instrument)
    assert (refused.value.code, refused.value.field) == (code, "instrument")
    assert entry_count(shop, number) == before


def test_a_profile_is_no_answer_to_another_characteristic(shop: Shop, fleet: Fleet, number: str) -> None:
    with pytest.raises(DomainError, match="recorded in another way"):
        measure(shop, fleet, number, profile({2: 0.5}), key="needle-guide")


def test_a_section_is_judged_again_under_a_wider_guard_band(shop: Shop, fleet: Fleet, number: str) -> None:
    measure(shop, fleet, number, profile({3: 1.7}))
    was = finding(shop, number)
    assert was.outcome.verdict is VerdictKind.CONFORMS
    put(shop, fleet.manager, kind=RuleKind.GUARD_BAND_BY_UNCERTAINTY, guard_factor=D(3))
    with shop.store.reading() as session:
        earlier = {one.number: one.earlier for one in open_verdicts(session, rule_in_force(session))}
    assert earlier[number]
    rejudge_overhaul(shop, fleet.manager, number, form(shop, number), reason="A new rule.")
    again = finding(shop, number)
    assert again.outcome.verdict is VerdictKind.NOT_PROVEN
    assert again.measurement == was.measurement


def test_a_constant_error_of_the_instrument_leaves_the_form_as_it_was(shop: Shop, fleet: Fleet, number: str) -> None:
    measure(shop, fleet, number, profile({3: 1.7}))
    record = loaded(shop, number).record
    with shop.store.reading() as session:
        rule = rule_in_force(session)
    told = judge_corrected(finding(shop, number), record.sheet, Correction(error=D("0.5")), rule)
    assert (told.changes, told.in_words) == (False, "Would not change")
    assert "an error that all of them share does not shift it" in told.reason
    assert "spindle or in the magnification" in told.reason


def test_an_error_that_grows_over_the_range_leaves_the_form_in_doubt(shop: Shop, fleet: Fleet, number: str) -> None:
    measure(shop, fleet, number, profile({3: 1.7}))
    points = tuple(CalibratedPoint(nominal=D(at), error=D(error)) for at, error in (("0", "0"), ("0.1", "0.02")))
    with shop.store.reading() as session:
        rule = rule_in_force(session)
    sheet = loaded(shop, number).record.sheet
    told = judge_corrected(finding(shop, number), sheet, Correction(points=points), rule)
    assert (told.open, told.in_words) == (True, "Cannot be judged again")
    assert "does not cancel" in told.reason


def test_a_released_injector_carries_the_plot_of_its_section_on_the_certificate(shop: Shop, fleet: Fleet) -> None:
    put_in_force(shop, fleet.manager)
    injector = received(shop, fleet, "R-1").examined(needle_roundness=ROUND)
    settle_as_proposed(shop, fleet.technician, injector.number, injector.form())
    injector.finish_rebuild()
    injector.tested()
    sign_release(shop, fleet.manager, injector.number, injector.form(), password=PASSWORD)
    ((content,),) = shop.store.rows("SELECT content FROM certificate_file")
    words = words_of(bytes(content))
    assert "Roundness of the needle's guide as found" in words
    assert "Limit of the deviation, 4 µm" in words
