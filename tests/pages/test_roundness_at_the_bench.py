"""A section at the bench: a file or typed points, the verdict with its plot, refusals beside their field."""

import math
import re

import httpx
import pytest

from service.actions.shop import Shop
from tests.pages.at_the_bench import Injector, received
from tests.pages.forms_on_page import PART, PageForm, Visitor, form_of, words_of
from tests.pages.sheet_editor import DRAFT, change, draft, error_at, item
from tests.pages.typed_at_the_bench import strip
from tests.registered_fleet import Fleet
from tests.round_sheet import FORM_TESTER, KEY, ROUNDNESS, points_of, put_in_force, text_of

THREE_LOBED = text_of(points_of({3: 4.0}))


@pytest.fixture
def bench(shop: Shop, fleet: Fleet, technician: Visitor) -> Injector:
    """An injector in parts, on the sheet with roundness."""
    put_in_force(shop, fleet.manager)
    return strip(technician, received(shop, fleet))


def address(injector: Injector) -> str:
    return f"{injector.address}/examination/{KEY}"


def form(technician: Visitor, injector: Injector) -> PageForm:
    return form_of(technician.get(address(injector)), address(injector))


def send(
    technician: Visitor, injector: Injector, file: bytes = b"", part: bool = False, **typed: str
) -> httpx.Response:
    """Open the page, fill the form, send it with a file or with an empty file field, as a browser does."""
    blank = form(technician, injector)
    fields = {**blank.fields, "instrument": FORM_TESTER.code, **typed}
    return technician.client.post(
        blank.action, data=fields, files={"file": ("form.csv", file, "text/csv")}, headers=PART if part else {},
        follow_redirects=False,
    )  # fmt: skip


def test_a_file_is_judged_and_the_plot_stands_below_the_verdict(technician: Visitor, bench: Injector) -> None:
    assert send(technician, bench, THREE_LOBED.encode()).status_code == 303
    page = technician.get(address(bench))
    words = words_of(page)
    assert "Does not conform Roundness deviation: 0.008 mm is beyond the limit" in words
    assert "Limit at most 0.004 mm (minimum zone circles, no filter). Replace the matched assembly." in words
    assert f"{FORM_TESTER.code}, calibration {FORM_TESTER.calibration}" in words
    assert "72 points measured; minimum zone circles, no filter." in words
    assert "Minimum zone (the sheet’s) 3.00000 0.00800 Least squares 3.00000 0.00800" in words
    assert "Mostly three-lobed: 8 µm peak to valley, a crest at 0°." in words
    assert "Limit of the deviation, 4 µm" in page.text
    assert page.text.count("<svg") >= 2
    overview = words_of(technician.get(f"{bench.address}/examination"))
    assert "Needle roundness deviation 0.008 mm U = 0.00041 mm" in overview


def test_typed_points_with_decimal_commas_are_judged_as_a_file_is(technician: Visitor, bench: Injector) -> None:
    answer = send(technician, bench, points=text_of(points_of({2: 0.5}, 12)).replace(".", ","))
    assert answer.status_code == 303
    assert "Conforms Roundness deviation: 0.001 mm is inside" in words_of(technician.get(address(bench)))


def test_a_radial_trace_is_read_as_directions_and_radii(technician: Visitor, bench: Injector) -> None:
    turns = range(0, 360, 5)
    rows = "\n".join(f"{turn};{3 + 0.004 * math.cos(3 * math.radians(turn)):.6f}" for turn in turns)
    send(technician, bench, b"angle deg;radius mm\n" + rows.encode(), columns="trace")
    assert "roundness deviation 0.008 mm" in words_of(technician.get(address(bench)))


def test_the_part_that_is_swapped_is_the_markup_of_the_page(technician: Visitor, bench: Injector) -> None:
    part = send(technician, bench, THREE_LOBED.encode(), part=True)
    assert "<html" not in part.text
    keys = re.compile(r'(?<=name="form_key" value=")[^"]+')
    page, again = (keys.sub("", text) for text in (technician.get(address(bench)).text, part.text))
    assert again.strip() in page


def test_a_file_sent_twice_is_one_finding(technician: Visitor, bench: Injector) -> None:
    blank = form(technician, bench)
    fields = {**blank.fields, "instrument": FORM_TESTER.code, "points": THREE_LOBED}
    before = bench.record.last_seq
    for _ in range(2):
        assert technician.client.post(blank.action, data=fields, follow_redirects=False).status_code == 303
    assert bench.record.last_seq == before + 1


PNG = b"\x89PNG\r\n\x1a\n\xff\xfe"
LONG = text_of(points_of({2: 0.5}, 3601))


@pytest.mark.parametrize(
    ("file", "typed", "field", "said"),
    [
        (b"", {}, "points", "The list of points is empty"),
        (b"", {"points": "3;0\n0;three"}, "points", "Line 2 reads “three”"),
        (b"1;0\n2;0\n3;0\n", {}, "file", "on one straight line"),
        (b"\n".join([b"1;0"] * 9), {}, "file", "in one place"),
        (b"3;0\n0;3\n-3;0\n", {}, "file", "The points lie in 3 directions"),
        (b"0;3\n0;3\n90;3\n", {"columns": "trace"}, "file", "Two radii have the same direction"),
        (b"x um;y um\n3000;0\n", {}, "file", "The header names um"),
        (PNG, {}, "file", "not a text file of points: save it as CSV, x and y in mm"),
        (LONG.encode(), {}, "file", "3\N{NO-BREAK SPACE}601 rows; at most 3\N{NO-BREAK SPACE}600 are kept"),
        (b"3;0\n" * 900_000, {}, "file", "far longer than 3\N{NO-BREAK SPACE}600 lines"),
        (b"", {"points": THREE_LOBED, "columns": "polar"}, "columns", "choose one"),
        (b"", {"points": THREE_LOBED, "instrument": ""}, "instrument", "choose one from the list"),
        (b"", {"points": THREE_LOBED, "instrument": "BORE-1"}, "instrument", "this needs a roundness instrument"),
    ],
)
def test_what_cannot_be_judged_is_refused_beside_its_field_and_kept_nowhere(
    technician: Visitor, bench: Injector, file: bytes, typed: dict[str, str], field: str, said: str
) -> None:
    before = bench.record.last_seq
    answer = send(technician, bench, file, **typed)
    assert answer.status_code == 422
    assert said in answer.text.split(f'id="{field}-error"')[1].split("</p>")[0]
    assert bench.record.last_seq == before
    again = form_of(answer, address(bench)).fields
    if "points" in typed:
        assert again["points"] == [typed["points"]]


def test_a_small_file_that_was_refused_stands_in_the_box_to_be_mended(technician: Visitor, bench: Injector) -> None:
    answer = send(technician, bench, b"3;0\n0;three\n")
    assert form_of(answer, address(bench)).fields["points"] == ["3;0\n0;three\n"]


def test_a_file_of_five_megabytes_is_too_large_for_the_form(technician: Visitor, bench: Injector) -> None:
    assert send(technician, bench, b"3;0\n" * 1_250_000).status_code == 413


def test_a_ships_office_measures_nothing(office: Visitor, bench: Injector) -> None:
    assert office.client.post(address(bench), data={"points": THREE_LOBED}).status_code == 403


def test_the_sheets_editor_takes_a_roundness_and_shows_it_again(editor: Visitor, shop: Shop) -> None:
    fields = {
        "title": "Roundness of the guide", "part": "needle", "how": "Turn it once.", "consequence": "replace",
        "limit": "4 µm", "reference": "least-squares", "cutoff_upr": "50",
    }  # fmt: skip
    place = f"{DRAFT}/characteristics/new?kind=roundness"
    assert form_of(editor.get(place), "/new").fields["reference"] == ["minimum-zone"]
    assert change(editor, place, **fields, instruments=["roundness-instrument", "micrometer"]).status_code == 303
    said = words_of(editor.get(DRAFT))
    assert "Roundness deviation at most 0.004 mm Least squares circle (ISO 12181-1)" in said
    assert "Gaussian filter, cut-off 50 undulations per revolution With micrometer or roundness instrument" in said
    made = draft(shop).characteristics[-1]
    shown = form_of(editor.get(item("characteristics", made.key)), "/item").fields
    assert (shown["limit"], shown["reference"], shown["cutoff_upr"]) == (["0.004"], ["least-squares"], ["50"])
    assert shown["instruments"] == ["micrometer", "roundness-instrument"]


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [("limit", "4 bar", "does not measure the same"), ("cutoff_upr", "many", "whole number"),
     ("reference", "mean", "choose one")],
)  # fmt: skip
def test_the_sheets_editor_refuses_beside_the_field(
    editor: Visitor, shop: Shop, field: str, typed: str, said: str
) -> None:
    before = draft(shop)
    good = {"title": "R", "part": "needle", "how": "Turn.", "consequence": "replace", "limit": "4 µm"}
    refused = change(editor, f"{DRAFT}/characteristics/new?kind=roundness", **{**good, field: typed})
    assert refused.status_code == 422
    assert said in error_at(refused, field)
    assert draft(shop) == before


def test_a_sheet_in_force_says_what_it_asks(manager: Visitor, shop: Shop, fleet: Fleet) -> None:
    put_in_force(shop, fleet.manager)
    said = words_of(manager.get("/limit-sheets/SMALL-1/revisions/2"))
    assert ROUNDNESS.title in said
    assert "Minimum zone circles (ISO 12181-1) No filter With roundness instrument or micrometer" in said
