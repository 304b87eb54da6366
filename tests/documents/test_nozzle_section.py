"""The spray holes on a certificate: brackets, drawing, spread and flow area, for people and for machines."""

import json
from dataclasses import replace
from decimal import Decimal as D
from xml.etree import ElementTree

import pytest

from service.documents.certificate import certificate_pdf, certificate_pictures
from service.documents.nozzle_drawing import nozzle_drawing, place_of
from service.documents.nozzle_section import nozzle_blocks
from service.workshop.entries import Examined
from service.workshop.limit_sheet import PinCharacteristic
from service.workshop.measurements import CalibratedPin, PinMeasurement
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.vocabulary import VerdictKind
from tests.documents.invented_record import GOOD, HEADER, Diary, hole_pins
from tests.documents.invented_sheet import SHEET
from tests.documents.printed import is_grey, reader_of, words_of

LIMITS = {"nominal": D("0.85"), "spread_limit": D("0.03"), "area_least": D(95), "area_most": D(110)}


def record(measured: PinMeasurement, **limits: object) -> OverhaulRecord:
    """The invented sheet with further limits of its holes, gauged once."""
    items = tuple(
        replace(one, **limits) if isinstance(one, PinCharacteristic) else one  # type: ignore[arg-type]
        for one in SHEET.characteristics
    )
    diary = Diary(replace(SHEET, characteristics=items))
    diary.examined("holes", measured)
    return diary.record()


def gauged(reject_in: tuple[int, ...] = (), go: str = "0.8504", reject: str = "0.8697") -> PinMeasurement:
    pins = (CalibratedPin(nominal=D("0.85"), diameter=D(go)), CalibratedPin(nominal=D("0.87"), diameter=D(reject)))
    return replace(hole_pins(reject_in), calibrated=pins)


@pytest.fixture(scope="module")
def whole() -> OverhaulRecord:
    return record(gauged(), **LIMITS)


def test_each_hole_is_printed_with_its_bracket_uncertainty_and_verdict(whole: OverhaulRecord) -> None:
    words = words_of(certificate_pdf(HEADER, whole))
    assert "Spray holes, as found" in words
    # U of the set is 1 µm; the middle is known to the rectangle and the pins together.
    for hole in range(1, 5):
        assert f"{hole} 0.8504 to 0.8697 0.8494 to 0.8707" in words
    assert "0.86 ± 0.0112" in words


def test_spread_flow_area_nominal_and_change_since_new_are_printed_with_their_limits(whole: OverhaulRecord) -> None:
    words = words_of(certificate_pdf(HEADER, whole))
    for said in (
        "their calibrated diameters",
        "allowed at most 0.03 mm",
        "2.2698 mm², 4 × 0.85 mm",  # 4 · π · 0.85² ÷ 4
        "allowed 95 to 110 %",
        "new is taken as of nominal size",
    ):
        assert said in words, said


def test_what_an_open_hole_leaves_unknown_is_said(whole: OverhaulRecord) -> None:
    words = words_of(certificate_pdf(HEADER, record(gauged(reject_in=(3,)), **LIMITS)))
    assert "not known: the size of hole 3 is open to one side" in words
    assert "0.8697 or more" in words


def test_a_record_without_brackets_prints_no_such_section() -> None:
    diary = Diary()
    diary.examined("holes", GOOD["holes"])
    (entry,) = diary.entries
    assert isinstance(entry.content, Examined)
    before = replace(entry.content, outcome=replace(entry.content.outcome, nozzle=None))
    old = replace(diary.record(), entries=(replace(entry, content=before),))
    assert list(nozzle_blocks(old)) == []
    assert "Bracket mm" not in words_of(certificate_pdf(HEADER, old))


def test_the_drawing_has_a_text_for_those_who_do_not_see_it_and_needs_no_colour(whole: OverhaulRecord) -> None:
    figure = next(iter(nozzle_blocks(whole)))
    assert figure["alternative"].endswith("Hole 3: conforms. Hole 4: conforms.")
    assert all(is_grey(page) for page in certificate_pictures(HEADER, whole, ppi=50))


def test_machines_read_the_same_brackets(whole: OverhaulRecord) -> None:
    attached = reader_of(certificate_pdf(HEADER, whole)).attachments["certificate.json"][0]
    (finding,) = json.loads(attached)["findings"]
    first = finding["nozzle"]["holes"][0]
    assert (first["hole"], first["lower"], first["upper"], first["verdict"]) == (1, "0.8494", "0.8707", "conforms")
    assert finding["nozzle"]["of_nominal"]["least"].startswith("99.8")


EVERY = (VerdictKind.CONFORMS, VerdictKind.DOES_NOT_CONFORM, VerdictKind.NOT_PROVEN, VerdictKind.NOT_MEASURED)


def test_each_verdict_has_a_pattern_and_a_letter_of_its_own_and_stands_in_the_key() -> None:
    drawn = ElementTree.fromstring(nozzle_drawing(EVERY, "Spray holes"))
    texts = [one.text for one in drawn.iter() if one.tag.endswith("text")]
    assert texts[:8] == ["1", "C", "2", "X", "3", "P", "4", "O"]
    assert [text for text in texts if text and len(text) > 1] == [verdict.label for verdict in EVERY]
    rings = [one for one in drawn.iter() if one.tag.endswith("circle") and one.get("stroke-width") == "2.5"]
    fills = {(ring.get("fill"), ring.get("stroke-dasharray")) for ring in rings}
    assert fills == {
        ("currentColor", None),
        ("url(#nozzle-crossed)", None),
        ("url(#nozzle-barred)", None),
        ("none", "5 4"),
    }


@pytest.mark.parametrize("count", [1, 4, 12])
def test_hole_one_stands_on_top_and_no_two_holes_touch(count: int) -> None:
    places = [place_of(number, count) for number in range(1, count + 1)]
    assert places[0] == (160, 52)
    for number, (x, y) in enumerate(places):
        assert all((x - a) ** 2 + (y - b) ** 2 > 52**2 for a, b in places[:number])
