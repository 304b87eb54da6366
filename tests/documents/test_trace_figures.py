"""A pressure trace on the certificate: vector graphics with a text alternative, numbers, and what was rejected."""

import hashlib
import json
from datetime import UTC, datetime
from decimal import Decimal

import jsonschema
import pytest

from service.documents.certificate import certificate_pdf
from service.documents.certificate_record import certificate_schema
from service.documents.trace_figures import RunTrace, trace_figures
from service.hydraulics.trace.accepted import event_of
from service.hydraulics.trace.answer import find
from service.hydraulics.trace.asked import asked_of
from service.workshop.proving import bench_runs
from service.workshop.vocabulary import RunPurpose
from tests.documents.invented_record import HEADER, worn_injector
from tests.documents.printed import reader_of, words_of
from tests.hydraulics.invented_traces import Bench, as_csv, strokes

RECORD = worn_injector()
FILE = as_csv(*strokes(Bench(rate_hz=500, seed=4)).made(0.002))


@pytest.fixture(scope="module")
def trace() -> RunTrace:
    """Four openings of which the second is rejected; kept with the proving run that counts."""
    found = find(FILE, asked_of({"volume_cm3": "50", "bulk_modulus_gpa": "1.5"}))
    return RunTrace(
        number=7,
        run=bench_runs(RECORD, RunPurpose.PROVING)[-1].number,
        step_key="opening-pressure",
        step="Opening pressure",
        sha256=hashlib.sha256(FILE).hexdigest(),
        size_bytes=len(FILE),
        confirmed_by="Tom Testbench",
        confirmed_at=datetime(2026, 3, 9, 14, 0, tzinfo=UTC),
        found=found,
        rejected=((event_of(found.analysis.openings[1]), "The lever slipped."),),
        limits_bar=(290.0, 310.0),
    )


def test_the_trace_stands_in_the_certificate_as_vector_graphics_with_its_numbers(trace: RunTrace) -> None:
    pdf = certificate_pdf(HEADER, RECORD, traces=[trace])
    words = words_of(pdf)
    for said in (
        "Pressure trace 7, Opening pressure",
        "3 of 4 count",
        "Tom Testbench",
        "The lever slipped.",
        "Hold A",
        "bar/min",
        "Opening, numbered; where it closed",  # a word of the drawing itself: it is text and no picture
    ):
        assert said in words
    pages = reader_of(pdf).pages
    plain = reader_of(certificate_pdf(HEADER, RECORD)).pages
    assert sum(len(page.images) for page in pages) == sum(len(page.images) for page in plain)


def test_mean_and_spread_are_those_of_the_accepted_openings(trace: RunTrace) -> None:
    (figure,) = trace_figures([trace], [trace.run])
    rows = dict(figure["rows"])
    accepted = [one.opening_bar for number, one in enumerate(trace.analysis.openings) if number != 1]
    assert Decimal(rows["Mean"].split()[0]) == pytest.approx(Decimal(repr(sum(accepted) / 3)), abs=Decimal("0.06"))
    assert float(rows["Spread"].split()[0]) == pytest.approx(max(accepted) - min(accepted), abs=0.06)
    assert "(2)" in figure["svg"]
    assert ", rejected." in figure["alternative"]


def test_the_attached_record_tells_by_its_digest_and_its_numbers_what_a_trace_showed(trace: RunTrace) -> None:
    pdf = certificate_pdf(HEADER, RECORD, traces=[trace])
    told = json.loads(reader_of(pdf).attachments["certificate.json"][0])
    jsonschema.validate(told, certificate_schema(), jsonschema.Draft202012Validator)
    (attached,) = told["traces"]
    assert attached["sha256"] == hashlib.sha256(FILE).hexdigest()
    confirmed = attached["confirmed"]
    assert (confirmed["by"], confirmed["pressure_unit"], confirmed["time_base"]) == ("Tom Testbench", "bar", "elapsed")
    assert confirmed["at"] == "2026-03-09T14:00:00+00:00"
    openings = [one["opening_bar"] for one in attached["openings"]]
    assert attached["opening_mean_bar"] == pytest.approx(sum(openings) / 3, abs=1e-3)
    assert attached["opening_mean_bar"] == pytest.approx((300 + 298 + 301) / 3, rel=0.005)
    # Student's factor for two degrees of freedom: JCGM 100:2008, table G.2.
    ratio = attached["opening_expanded_uncertainty_bar"] / attached["opening_standard_uncertainty_bar"]
    assert ratio == pytest.approx(4.30, abs=0.01)
    (hold,) = attached["holds"]
    assert hold["interval"][0] < hold["rate_bar_per_min"] < hold["interval"][1]
    assert hold["leak_mm3_per_s"] == pytest.approx(50 / 15_000 * 1000 * 40 / 60, rel=0.02)
    assert [one["reason"] for one in attached["rejected"]] == ["The lever slipped."]
    del attached["sha256"]
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(told, certificate_schema(), jsonschema.Draft202012Validator)


def test_a_trace_of_another_run_is_not_printed(trace: RunTrace) -> None:
    assert trace_figures([trace], [trace.run + 1]) == []
    assert "Pressure trace" not in words_of(certificate_pdf(HEADER, RECORD))


def test_the_same_trace_gives_the_same_bytes(trace: RunTrace) -> None:
    assert certificate_pdf(HEADER, RECORD, traces=[trace]) == certificate_pdf(HEADER, RECORD, traces=[trace])
