"""A pressure trace at the desk: the logger's file, how it was read, openings, holds, verdicts, the plot."""

import re

import httpx
import pytest

from tests.hydraulics.invented_traces import Bench, as_csv, strokes
from tests.pages.forms_on_page import PART, Visitor, words_of

PLACE = "/calculators/trace"
TRACE = as_csv(*strokes(Bench(rate_hz=500, seed=6)).made(0.003))
"""Openings at 300, 302, 298 and 301 bar after a hold that falls by 40 bar/min; invented."""


def send(visitor: Visitor, file: bytes = TRACE, part: bool = False, **typed: str) -> httpx.Response:
    """Analyse a file, with what is typed beside it."""
    files = {"file": ("trace.csv", file, "text/csv")}
    return visitor.client.post(PLACE, data={"from_s": "", **typed}, files=files, headers=PART if part else {})


def test_the_recognition_is_shown_to_be_confirmed(technician: Visitor) -> None:
    words = words_of(send(technician))
    for told in (
        "Between the values semicolon, 2 columns",
        "Decimal sign comma",
        "First row line 2, under a header",
        "Time column 1 “time [s]”, seconds",
        "Pressure column 2 “pressure [bar]”, bar (gauge)",
    ):
        assert told in words


def test_openings_and_holds_are_listed_and_drawn(technician: Visitor) -> None:
    answer = send(technician)
    words = words_of(answer)
    assert re.search(r"4 openings, mean 300\.\d bar; 1 hold", words)
    assert len(re.findall(r'<th scope="row">[1-4]</th>', answer.text)) == 4
    rate = re.search(r"Hold .*? A 4\.\d to 34\.\d 5\.\d \d+\.\d (\d+\.\d+) ", words)
    assert rate is not None
    assert float(rate[1]) == pytest.approx(40, rel=0.02)
    assert "<svg" in answer.text
    assert "Opening 4 at" in words.split("The plot in words")[1]


def test_the_rig_gives_a_leak_and_the_plan_its_verdicts(technician: Visitor) -> None:
    words = words_of(send(technician, lower_bar="295", upper_bar="30,5 MPa", decay_max_bar_per_min="20"))
    assert "Conforms Opening pressure The mean 300" in words
    assert "Does not conform Decay of hold 1" in words
    leak = re.search(r"to 4\d\.\d+ (\d\.\d+) ", words_of(send(technician, volume_cm3="50", bulk_modulus_gpa="1,5")))
    assert leak is not None
    assert float(leak[1]) == pytest.approx(50 / 15_000 * 1000 * 40 / 60, rel=0.02)


def test_a_part_of_the_trace_can_be_looked_at_closely(technician: Visitor) -> None:
    answer = send(technician, from_s="35", to_s="37.5")
    assert "Pressure in bar from 35 to 37.5 s" in words_of(answer)
    assert answer.text.count("l-5,-9h10Z") == 3  # two openings and the legend
    assert 'data-from="35.0"' in answer.text
    assert 'data-to="37.5"' in answer.text


def test_the_plot_is_read_off_in_the_files_own_unit_too(technician: Visitor) -> None:
    assert 'data-unit=""' in send(technician).text
    answer = send(technician, TRACE.replace(b"[bar]", b"[psi]"))
    assert 'data-unit="psi"' in answer.text
    assert re.search(r'data-per-unit="0\.0689', answer.text)  # NIST SP 811, appendix B: 1 psi = 6894.757 Pa


def test_what_is_said_of_the_file_takes_the_place_of_what_is_recognised(technician: Visitor) -> None:
    bare = b"\n".join(line.split(b";")[1] for line in TRACE.splitlines()[1:])
    for typed, field, said in (
        ({}, "rate_hz", "give the sample rate"),
        ({"rate_hz": "500"}, "pressure_unit", "in which unit"),
        ({"rate_hz": "quick", "pressure_unit": "bar"}, "rate_hz", "not a number"),
    ):
        answer = send(technician, bare, **typed)
        assert answer.status_code == 422
        assert said in answer.text.split(f'id="{field}-error"')[1].split("</p>")[0]
        assert "<details open>" in answer.text
    assert "4 openings" in words_of(send(technician, bare, rate_hz="500", pressure_unit="bar"))


@pytest.mark.parametrize(
    ("file", "said"),
    [
        (b"", "Choose the logger’s file"),
        (b"\x89PNG\r\n\x1a\n\0", "not a text file"),
        (b"time [s];pressure [bar]\n1;2\n", "at least 30"),
        (b"time [s];pressure [bar]\n" + b"".join(b"%d;200\n" % n for n in range(90, 0, -1)), "runs backwards"),
    ],
)
def test_a_file_that_is_no_trace_is_refused_at_the_file(technician: Visitor, file: bytes, said: str) -> None:
    answer = send(technician, file, lower_bar="290")
    assert answer.status_code == 422
    assert said in answer.text.split('id="file-error"')[1].split("</p>")[0]
    assert 'value="290"' in answer.text


def test_wrong_limits_are_refused_at_their_field(technician: Visitor) -> None:
    answer = send(technician, lower_bar="310", upper_bar="300")
    assert "above the upper limit" in answer.text.split('id="upper_bar-error"')[1].split("</p>")[0]
    answer = send(technician, volume_cm3="50")
    assert "both or neither" in answer.text.split('id="bulk_modulus_gpa-error"')[1].split("</p>")[0]


def test_a_file_of_several_megabytes_is_taken(technician: Visitor) -> None:
    long = as_csv(*strokes(Bench(rate_hz=6000, seed=6)).made(0.003))
    assert len(long) > 4_000_000
    assert "4 openings" in words_of(send(technician, long))


def test_the_part_that_is_swapped_is_the_markup_of_the_page(technician: Visitor) -> None:
    page, part = (send(technician, lower_bar="295", part=one) for one in (False, True))
    assert part.text.strip() in page.text
    assert "<html" not in part.text


def test_a_ships_office_sends_no_trace(office: Visitor) -> None:
    assert send(office).status_code == 403
