"""Every kind of entry in words."""

from typing import get_args

import pytest

from service.workshop.entries import Content
from service.workshop.narration import instruments_of, narrate
from service.workshop.vocabulary import VerdictKind
from tests.small_sheet import SMALL_SHEET
from tests.workshop.every_entry import EVERY_ENTRY


def words(kind: str) -> list[str]:
    told = (narrate(content, SMALL_SHEET) for content in EVERY_ENTRY if content.kind == kind)
    return [f"{one.title}: {one.sentence}" for one in told]


def test_the_list_holds_every_kind_of_entry() -> None:
    assert {type(content) for content in EVERY_ENTRY} == set(get_args(Content))


@pytest.mark.parametrize("content", EVERY_ENTRY, ids=lambda content: content.kind)
def test_every_entry_has_a_subject_a_title_and_a_sentence(content: Content) -> None:
    told = narrate(content, SMALL_SHEET)
    assert told.subject
    assert told.title
    assert told.sentence.endswith((".", "?"))
    assert told.verdict in {"", "pass", "fail", "cannot-tell", *VerdictKind}


@pytest.mark.parametrize(
    ("kind", "sentence"),
    [
        ("stripped", "Stripped and cleaned: Injector body: stuck. All seals discarded. Ölig, 80 °C."),
        ("settled", "Injector body: keep: As the rules propose."),
        ("concession", "Concession refused: Injector body, keep: No."),
        ("office-answer", "Office accepted: Injector body, replace the part: Go ahead."),
        ("reworked", "Reworked: Injector body: Ground 0.05 mm."),
        ("fitted", "Fitted new: Nozzle set: Batch or serial N-1."),
        ("torqued", "Tightened: Nut of the nozzle: 100.5 N·m is inside 90 to 110 N·m."),
        ("discs-changed", "Adjusting discs changed: 0.1 mm added, 0.05 mm taken out. Pressure low."),
        ("bench-run", "As-found test started: Gauge GAUGE-1."),
        ("released", "Released: Certificate RC-2026-00001."),
    ],
)
def test_an_entry_reads_as_the_trade_would_say_it(kind: str, sentence: str) -> None:
    assert sentence in words(kind)


def test_the_same_subject_tells_that_two_entries_may_contradict() -> None:
    subjects = {content.kind: narrate(content, SMALL_SHEET).subject for content in EVERY_ENTRY}
    assert subjects["settled"] == subjects["concession"] == subjects["office-answer"] == "part:body"
    assert subjects["reopened"] == subjects["discs-changed"]


def test_every_instrument_used_is_found_again() -> None:
    codes = {use.code for content in EVERY_ENTRY for use in instruments_of(content)}
    assert codes == {"MIC-1", "BORE-1", "PINS-1", "SCOPE-1", "HEIGHT-1", "RATE-1", "WRENCH-1", "GAUGE-1"}
