"""The measured section on the certificate: a row among the findings, its plot as a vector, its facts for machines."""

import json
from dataclasses import replace

import numpy as np
import pytest

from service.documents.certificate import certificate_pdf, certificate_pictures
from service.metrology.point_lists import parse_points
from service.metrology.roundness import minimum_zone
from service.workshop.decision_rule import DecisionRule
from service.workshop.entries import Entry, Examined
from service.workshop.examination import examine
from service.workshop.limit_sheet import RoundnessCharacteristic
from service.workshop.measurements import RoundnessMeasurement
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.vocabulary import Phase, RoundnessReference
from tests.documents.invented_record import HEADER, worn_injector
from tests.documents.printed import is_grey, page_words, reader_of, words_of
from tests.round_sheet import ROUND, THREE_LOBED, with_roundness


def record(measured: RoundnessMeasurement | None, item: RoundnessCharacteristic | None = None) -> OverhaulRecord:
    """The worn injector with the roundness of its spindle guide on the sheet; None: it was not examined."""
    worn, asked = worn_injector(), replace(item or with_roundness(), part="spindle")
    sheet = replace(worn.sheet, characteristics=(*worn.sheet.characteristics, asked))
    if measured is None:
        return replace(worn, sheet=sheet)
    outcome = examine(asked, measured, DecisionRule())
    found = Examined(characteristic=asked.key, part="spindle", phase=Phase.FOUND, measurement=measured, outcome=outcome)
    last = worn.entries[-1]
    entry = Entry(seq=last.seq + 1, at=last.at, person=last.person, content=found)
    return replace(worn, sheet=sheet, entries=(*worn.entries, entry))


FAILED = record(THREE_LOBED)
PDF = certificate_pdf(HEADER, FAILED)
WORDS = words_of(PDF)


@pytest.mark.parametrize(
    "said",
    [
        "roundness deviation 0.008 mm",
        "at most 0.004 mm (minimum zone circles, no filter)",
        "Roundness of the needle's guide as found",
        "Judged about minimum zone circles, no filter",
        "Measured 72 points",
        "Minimum circumscribed 0.008 mm",
        "Mostly three-lobed: 8 µm peak to valley, a crest at 0°.",
        "MZ Minimum zone 8 µm",
        "Limit of the deviation, 4 µm",
        "Magnified 200 times against the radius",
    ],
)
def test_the_certificate_prints_value_limit_circles_lobes_and_the_plots_own_words(said: str) -> None:
    assert said in WORDS


def test_the_plot_is_a_vector_with_words_for_whoever_does_not_see_it() -> None:
    page = next(one for one in reader_of(PDF).pages if "Judged about" in one.extract_text())
    assert not list(page.images), "no picture of dots"
    assert "Profile of 72 points about the centre of the minimum zone circle" in " ".join(alternatives(PDF))


def test_every_font_of_the_plot_is_in_the_file_and_the_page_stays_grey() -> None:
    number = next(place for place, words in enumerate(page_words(PDF)) if "Judged about" in words)
    for font in reader_of(PDF).pages[number]["/Resources"]["/Font"].values():  # type: ignore[index,union-attr]
        assert "Libertinus" in font.get_object()["/BaseFont"]
    assert is_grey(certificate_pictures(HEADER, FAILED, 60)[number])


def test_a_section_that_was_not_measured_shows_its_limit_and_no_plot() -> None:
    words = words_of(certificate_pdf(HEADER, record(None)))
    assert "at most 0.004 mm (minimum zone circles, no filter) Not examined" in words
    assert "Judged about" not in words


def test_the_profile_is_attached_so_that_anybody_can_judge_it_again() -> None:
    filtered = with_roundness(RoundnessReference.LEAST_SQUARES, 8)
    (attached,) = reader_of(certificate_pdf(HEADER, record(ROUND, filtered))).attachments["certificate.json"]
    finding = json.loads(attached)["findings"][-1]
    section = finding["section"]
    assert (section["reference"], section["filter_undulations_per_revolution"]) == ("least-squares", 8)
    assert (section["columns"], len(section["profile"])) == ("points", 72)
    points = parse_points("\n".join(section["profile"]))
    assert np.hypot(*points.T).mean() == pytest.approx(3, abs=1e-6)
    # Before the filter the oval differs by 1 µm between its radii, after it by 2^-(2/8)² of that.
    assert minimum_zone(points).deviation_mm == pytest.approx(0.001, abs=2e-6)
    assert section["deviations_mm"]["minimum_zone"] == "0.00096"


def alternatives(pdf: bytes) -> list[str]:
    """Every text alternative in the document's structure."""
    found: list[str] = []

    def walk(node: object) -> None:
        held = node.get_object() if hasattr(node, "get_object") else node
        if isinstance(held, dict):
            if "/Alt" in held:
                found.append(str(held["/Alt"]))
            walk(held.get("/K"))
        elif isinstance(held, list):
            for one in held:
                walk(one)

    walk(reader_of(pdf).trailer["/Root"]["/StructTreeRoot"])  # type: ignore[index]
    return found
