"""A pressure trace on the certificate: vector graphics with a text alternative, numbers, and what was rejected."""

from decimal import Decimal

import pytest

from service.documents.certificate import certificate_pdf
from service.documents.trace_figures import RunTrace, trace_figures
from service.hydraulics.trace.accepted import event_of
from service.hydraulics.trace.analysis import TraceAnalysis, analyse
from service.hydraulics.trace.reading import Trace
from service.workshop.proving import bench_runs
from service.workshop.vocabulary import RunPurpose
from tests.documents.invented_record import HEADER, worn_injector
from tests.documents.printed import reader_of, words_of
from tests.hydraulics.invented_traces import Bench, strokes

RECORD = worn_injector()
TIMES, PRESSURES = strokes(Bench(rate_hz=500, seed=4)).made(0.002)


@pytest.fixture(scope="module")
def trace() -> RunTrace:
    """Four openings of which the second is rejected; kept with the proving run that counts."""
    found: TraceAnalysis = analyse(Trace(TIMES, PRESSURES, None, len(TIMES), 0))
    run = bench_runs(RECORD, RunPurpose.PROVING)[-1].number
    rejected = ((event_of(found.openings[1]), "The lever slipped."),)
    return RunTrace(7, run, "Opening pressure", "Tom Testbench", found, rejected, (290.0, 310.0))


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


def test_a_trace_of_another_run_is_not_printed(trace: RunTrace) -> None:
    assert trace_figures([trace], [trace.run + 1]) == []
    assert "Pressure trace" not in words_of(certificate_pdf(HEADER, RECORD))


def test_the_same_trace_gives_the_same_bytes(trace: RunTrace) -> None:
    assert certificate_pdf(HEADER, RECORD, traces=[trace]) == certificate_pdf(HEADER, RECORD, traces=[trace])
