"""Pressure traces on the pages of a bench run: kept at the step, confirmed, events rejected, the step recorded."""

import re
from typing import Any

import httpx
import pytest

from service.actions.bench_testing import record_bench_step, start_bench_run
from service.actions.rebuilding import reopen
from service.workshop.vocabulary import RunPurpose
from tests.hydraulics.invented_traces import Bench, as_csv, strokes
from tests.pages.at_the_bench import Injector
from tests.pages.forms_on_page import PART, PageForm, Visitor, form_of, forms_of, has_form, words_of
from tests.small_findings import PASSING

TRACE = as_csv(*strokes(Bench(rate_hz=200, seed=5), (350.0, 352.0, 349.0, 351.0)).made(0.002))


@pytest.fixture
def run(injector: Injector) -> int:
    """A rebuilt injector on the rig, its opening pressure the next step."""
    injector.rebuilt()
    number = start_bench_run(
        injector.shop,
        injector.technician,
        injector.number,
        injector.form(),
        purpose=RunPurpose.PROVING,
        gauge="GAUGE-1",
    ).seq
    for step in ("vent", "blow", "seat"):
        record_bench_step(
            injector.shop, injector.technician, injector.number, injector.form(), run=number, step=step,
            result=PASSING[step],
        )  # fmt: skip
    return number


def send(visitor: Visitor, page: str, content: bytes = TRACE, **typed: str) -> httpx.Response:
    """Choose a file in the form of that page and send it."""
    form = form_of(visitor.get(page), "/traces")
    fields: dict[str, Any] = {name: values[0] for name, values in form.fields.items() if name != "file"}
    files = {"file": ("trace.csv", content, "text/csv")}
    return visitor.client.post(form.action, data=fields | typed, files=files, follow_redirects=False)


def kept(visitor: Visitor, injector: Injector, run: int) -> str:
    """The page of a trace of the opening pressure."""
    answer = send(visitor, f"{injector.address}/bench-runs/{run}/steps/opening/traces")
    assert answer.status_code == 303, words_of(answer)
    return answer.headers["location"]


def rejecting(answer: httpx.Response, event: str) -> list[PageForm]:
    """The forms that reject an event of that kind."""
    return [form for form in forms_of(answer) if form.fields.get("event") == [event]]


def test_a_trace_is_kept_at_its_step_and_found_there_again(technician: Visitor, injector: Injector, run: int) -> None:
    step = f"{injector.address}/bench-runs/{run}/steps/opening"
    assert f'href="{step}/traces"' in technician.get(step).text
    assert "/traces" not in technician.get(f"{injector.address}/bench-runs/{run}/steps/vent").text
    assert "No trace is kept" in words_of(technician.get(f"{step}/traces"))
    page = kept(technician, injector, run)
    listed = technician.get(f"{step}/traces")
    assert f'href="{page}"' in listed.text
    assert "waits for confirmation" in words_of(listed)
    assert technician.get(f"{page}/file").content == TRACE


def test_what_was_recognised_is_shown_and_confirmed(technician: Visitor, injector: Injector, run: int) -> None:
    page = kept(technician, injector, run)
    words = words_of(technician.get(page))
    assert "Pressure column 2 “pressure [bar]”, bar (gauge)" in words
    assert "standard uncertainty of the mean" in words
    assert re.search(r"Hold A: rate from \d+\.\d s on, when it had settled\. No temperature recorded\.", words)
    assert "Confirm how it is read" in words
    assert not has_form(technician.get(page), "/steps/opening")
    after = technician.fill(page, "/readings")
    assert "Confirmed by Tove Technician" in words_of(after)
    assert has_form(after, "/steps/opening")


def test_the_accepted_openings_are_judged_by_the_plan_and_recorded_with_the_step(
    technician: Visitor, injector: Injector, run: int
) -> None:
    page = kept(technician, injector, run)
    technician.fill(page, "/readings")
    answer = technician.get(page)
    assert re.search(r"Pass The mean opening pressure 350\.\d bar", words_of(answer))
    first = rejecting(answer, "opening")[0]
    refused = technician.send(first, reason=" ")
    assert refused.status_code == 422
    assert "Say why the event does not count" in words_of(refused)
    done = technician.send(first, reason="The lever slipped.")
    assert (done.status_code, done.headers["location"]) == (303, page)
    answer = technician.get(page)
    assert "Rejected by Tove Technician: The lever slipped." in words_of(answer)
    assert ">(1)</text>" in answer.text
    record = form_of(answer, "/steps/opening")
    assert [round(float(typed.removesuffix(" bar"))) for typed in record.fields["strokes_bar"]] == [352, 349, 351]
    recorded = technician.send(record)
    assert recorded.status_code == 303, words_of(recorded)
    assert "3 strokes" in words_of(technician.get(f"{injector.address}/bench-runs/{run}/steps/opening"))
    after = technician.get(page)
    assert "The step is recorded: mean 350." in words_of(after)
    assert not has_form(after, "/steps/opening")


def test_the_seat_is_recorded_with_the_hold_of_its_trace_and_what_was_seen(
    technician: Visitor, injector: Injector
) -> None:
    injector.rebuilt()
    number = start_bench_run(
        injector.shop, injector.technician, injector.number, injector.form(), purpose=RunPurpose.PROVING,
        gauge="GAUGE-1",
    ).seq  # fmt: skip
    for step in ("vent", "blow"):
        record_bench_step(
            injector.shop, injector.technician, injector.number, injector.form(), run=number, step=step,
            result=PASSING[step],
        )  # fmt: skip
    held = as_csv(*Bench(rate_hz=200, seed=8).rest(0.5).pump(320, 4).hold(40, 6).relieve().made(0.0005))
    answer = send(technician, f"{injector.address}/bench-runs/{number}/steps/seat/traces", held)
    page = answer.headers["location"]
    after = technician.fill(page, "/readings")
    assert "Record the step with this hold" in words_of(after)
    recorded = technician.send(form_of(after, "/steps/seat"), dry="yes")
    assert recorded.status_code == 303, words_of(recorded)
    told = words_of(technician.get(page)).split("The step is recorded: ")[1]
    assert re.match(r"dry at 31(5\.9|6\.\d) bar for 39 s", told), told[:80]


def test_too_few_accepted_openings_prove_nothing(technician: Visitor, injector: Injector, run: int) -> None:
    page = kept(technician, injector, run)
    for _ in range(2):
        technician.send(rejecting(technician.get(page), "opening")[0], reason="Air in the pipe.")
    words = words_of(technician.get(page))
    assert "Not proven The opening pressure has 2 of at least 3 strokes" in words


def test_the_plot_is_looked_at_closely_by_its_address(technician: Visitor, injector: Injector, run: int) -> None:
    page = kept(technician, injector, run)
    assert "from 35 to 37,5" not in technician.get(page).text
    closer = technician.get(f"{page}?from_s=35&to_s=37%2C5")
    assert "Pressure in bar from 35 to 37.5 s" in words_of(closer)
    wrong = technician.get(f"{page}?from_s=9&to_s=4")
    assert wrong.status_code == 422
    assert "exchange the two times" in words_of(wrong)


def test_a_file_that_leaves_its_unit_open_is_asked_at_the_field(
    technician: Visitor, injector: Injector, run: int
) -> None:
    place = f"{injector.address}/bench-runs/{run}/steps/seat/traces"
    bare = TRACE.replace(b"pressure [bar]", b"pressure")
    refused = send(technician, place, bare)
    assert refused.status_code == 422
    assert "in which unit" in refused.text.split('id="keep-pressure_unit-error"')[1].split("</p>")[0]
    answer = technician.get(send(technician, place, bare, pressure_unit="bar").headers["location"])
    assert "No accepted hold stood so high: the highest came down to 2" in words_of(answer)
    assert "300 bar for" in words_of(answer)
    assert rejecting(answer, "hold")


def test_a_void_run_takes_no_trace_and_its_traces_stay(technician: Visitor, injector: Injector, run: int) -> None:
    page = kept(technician, injector, run)
    reopen(injector.shop, injector.technician, injector.number, injector.form(), reason="Seat dripped.")
    listed = technician.get(f"{injector.address}/bench-runs/{run}/steps/opening/traces")
    assert not has_form(listed, "/traces")
    assert "void" in words_of(listed)
    answer = technician.get(page)
    assert forms_of(answer) == [] or not rejecting(answer, "opening")
    assert "It counts." in words_of(answer)


def test_a_ships_office_sees_no_trace(technician: Visitor, office: Visitor, injector: Injector, run: int) -> None:
    page = kept(technician, injector, run)
    for path in (page, f"{page}/file", f"{injector.address}/bench-runs/{run}/steps/opening/traces"):
        assert office.get(path).status_code == 403
    assert technician.get(f"{injector.address}/bench-traces/99").status_code == 404


def closely(page: str, answer: httpx.Response, link: str = "") -> list[str]:
    """Addresses on the page that show a stretch: of the events, or of the step with that id."""
    begins = rf'id="{link}"\s+href' if link else 'touch-link" href'
    found = re.findall(rf'{begins}="({re.escape(page)}\?from_s=-?[\d.]+&amp;to_s=[\d.]+)#trace-plot"', answer.text)
    return [one.replace("&amp;", "&") for one in found]


def shown_s(answer: httpx.Response) -> tuple[float, float]:
    """From when to when the plot shows."""
    told = re.search(r"Pressure in bar from ([\d.]+) to ([\d.]+) s", words_of(answer))
    assert told is not None
    return float(told[1]), float(told[2])


def test_each_event_leads_to_a_close_look_at_itself(technician: Visitor, injector: Injector, run: int) -> None:
    page = kept(technician, injector, run)
    closer = closely(page, technician.get(page))
    assert len(closer) == 5  # four openings and the hold
    start, end = shown_s(technician.get(closer[1]))
    assert end - start == pytest.approx(1.0, abs=0.02)


def test_from_a_stretch_one_steps_closer_wider_earlier_and_later_without_a_script(
    technician: Visitor, injector: Injector, run: int
) -> None:
    page = kept(technician, injector, run)
    answer = technician.get(f"{page}?from_s=10&to_s=14")
    assert "From 10.000 to 14.000 s of" in words_of(answer)
    for step, stretch in (("closer", (11, 13)), ("wider", (8, 16)), ("earlier", (8, 12)), ("later", (12, 16))):
        (address,) = closely(page, answer, f"trace-{step}")
        assert shown_s(technician.get(address)) == stretch, step
    whole = technician.get(page)
    assert closely(page, whole, "trace-wider") == []
    assert closely(page, whole, "trace-closer") != []


def test_only_the_plot_is_drawn_anew_and_is_the_same_as_on_the_page(
    technician: Visitor, injector: Injector, run: int
) -> None:
    page = kept(technician, injector, run)
    for asked, status in (("from_s=35&to_s=37%2C5", 200), ("from_s=9&to_s=4", 422)):
        whole = technician.get(f"{page}?{asked}")
        part = technician.client.get(f"{page}?{asked}", headers=PART)
        assert (whole.status_code, part.status_code) == (status, status)
        assert part.text.strip() in whole.text
        assert "<html" not in part.text
        assert part.headers["Vary"] == whole.headers["Vary"] == "HX-Request, HX-Request-Type"
