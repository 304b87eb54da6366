"""The uncertainty budget at the desk: rows typed, a row added, what they come to."""

import json
from pathlib import Path

import httpx
import pytest

from tests.pages.forms_on_page import Visitor, form_of, words_of

PLACE = "/calculators/uncertainty"
GUM = Path(__file__).parents[1] / "published" / "gum_examples.json"


def row(number: int, name: str, way: str, amount: str, **more: str) -> dict[str, str]:
    """One row as it is typed."""
    fields = {"name": name, "way": way, "amount": amount, **more}
    return {f"{field}-{number}": text for field, text in fields.items()}


MICROMETER = {
    **row(1, "Calibration", "expanded_uncertainty", "2 µm", k="2"),
    **row(2, "Resolution", "resolution", "0,001"),
    **row(3, "Repeats", "readings", "25.011; 25.013; 25.012"),
}


def send(visitor: Visitor, typed: dict[str, str], part: bool = False, **more: str) -> httpx.Response:
    """Work the typed budget out."""
    return visitor.send(form_of(visitor.get(PLACE), PLACE), part=part, **{"do": "work-out", **typed, **more})


@pytest.mark.published
def test_the_end_gauge_of_the_gum_comes_to_its_published_uncertainty(technician: Visitor) -> None:
    # JCGM 100:2008 H.1: 32 nm and 16 degrees of freedom; more digits by two libraries; sources in the file.
    examples = {one["id"]: one for one in json.loads(GUM.read_text(encoding="utf-8"))}
    given, published = examples["GUM_H1"]["inputs"], examples["GUM_H1"]["published"]
    theta, length_um = given["theta"], given["ls_nm"] / 1000
    typed = row(
        1, "Standard", "standard_uncertainty", f"{given['u_ls'] / 1000}", degrees_of_freedom=str(given["nu_ls"])
    )
    for number, (u, freedom) in enumerate(given["u_d_components"], 2):
        typed |= row(
            number, f"Comparison {number}", "standard_uncertainty", f"{u / 1000}", degrees_of_freedom=str(freedom)
        )
    typed |= row(
        5, "Expansion", "rectangular", str(given["dalpha_halfwidth_uniform"]),
        sensitivity=f"{length_um * theta:.9f}", degrees_of_freedom=str(given["nu_dalpha"]),
    )  # fmt: skip
    typed |= row(
        6, "Temperature", "rectangular", str(given["dtheta_halfwidth_uniform"]),
        sensitivity=f"{length_um * given['alpha_s']:.9f}", degrees_of_freedom=str(given["nu_dtheta"]),
    )  # fmt: skip
    words = words_of(send(technician, typed, rows="6", unit="µm", coverage_percent="99"))
    assert f"Combined standard uncertainty {published['uc_exact_nm'] / 1000:.4g} µm" in words
    assert f"Effective degrees of freedom {published['nu_eff_exact']:.4g}" in words
    assert "Coverage 99 %" in words


def test_each_contribution_has_its_share_as_a_figure_and_as_a_bar(technician: Visitor) -> None:
    # u: 2 µm / 2; 1 µm / (2·√3); s / √3 with s = 1 µm. JCGM 100, 4.3.3, F.2.2.1, 4.2.3; from memory.
    answer = send(technician, MICROMETER)
    words = words_of(answer)
    variances = {"Calibration": 1.0, "Resolution": 1 / 12, "Repeats": 1 / 3}
    for name, part in variances.items():
        assert f"{name} {100 * part / sum(variances.values()):.1f} %" in words
    assert "Combined standard uncertainty 0.00119 mm" in words
    for pattern in ("hatched", "dotted", "crossed"):
        assert f"url(#shares-{pattern})" in answer.text


def test_a_row_is_added_without_a_script_and_nothing_typed_is_lost(technician: Visitor) -> None:
    longer = send(technician, {**MICROMETER, **row(3, "Repeats", "", "not yet")}, do="add-row")
    assert longer.status_code == 200
    fields = form_of(longer, PLACE).fields
    assert fields["rows"] == ["4"]
    assert "name-4" in fields
    assert fields["amount-1"] == ["2 µm"]
    assert fields["amount-3"] == ["not yet"]


def test_an_empty_row_counts_for_nothing(technician: Visitor) -> None:
    full = send(technician, MICROMETER)
    moved = {name.replace("-3", "-5"): text for name, text in MICROMETER.items()}
    apart = send(technician, moved, rows="6")
    assert "U = 0.00" in words_of(full)
    figure = words_of(full).split("U = ")[1].split(" mm")[0]
    assert f"U = {figure} mm" in words_of(apart)


def test_rows_have_an_upper_number(technician: Visitor) -> None:
    answer = send(technician, {}, do="add-row", rows="999")
    assert form_of(answer, PLACE).fields["rows"] == ["40"]
    assert "Add a row" not in answer.text


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({}, "name-1", "at least one contribution"),
        (row(2, "", "resolution", "1"), "name-2", "what contributes"),
        (row(2, "Scale", "", "1"), "way-2", "how this contribution is known"),
        (row(2, "Scale", "resolution", ""), "amount-2", "is empty"),
        (row(2, "Scale", "resolution", "-1"), "amount-2", "zero or a positive"),
        (row(2, "Scale", "resolution", "1 bar"), "amount-2", "does not measure the same thing"),
        (row(2, "Scale", "readings", "1"), "amount-2", "at least two"),
        (row(2, "Scale", "readings", "1; 2; x"), "amount-2", "not a number"),
        (row(2, "Scale", "expanded_uncertainty", "1"), "k-2", "is empty"),
        (row(2, "Scale", "expanded_uncertainty", "1", k="0"), "k-2", "usually 2"),
        (row(2, "Scale", "resolution", "1", k="2"), "k-2", "and only there"),
        (row(2, "Scale", "readings", "1; 2", degrees_of_freedom="3"), "degrees_of_freedom-2", "Row 2"),
        (row(2, "Scale", "standard_uncertainty", "1", degrees_of_freedom="0"), "degrees_of_freedom-2", "too few"),
        (row(2, "Scale", "resolution", "1", sensitivity="one"), "sensitivity-2", "not a number"),
        ({**row(1, "A", "resolution", "1"), "coverage_percent": "100"}, "coverage_percent", "less than 100"),
    ],
)
def test_what_has_no_meaning_is_said_beside_its_field(
    technician: Visitor, typed: dict[str, str], field: str, said: str
) -> None:
    answer = send(technician, typed)
    assert answer.status_code == 422
    assert said in answer.text.split(f'id="{field}-error"')[1].split("</p>")[0]
    fields = form_of(answer, PLACE).fields
    for name, text in typed.items():
        assert fields.get(name, [""]) == [text] or (name.startswith("way-") and not text)


def test_two_contributions_of_one_name_are_refused_in_words(technician: Visitor) -> None:
    answer = send(technician, {**row(1, "Scale", "resolution", "1"), **row(2, "Scale", "resolution", "2")})
    assert answer.status_code == 422
    assert "name them apart" in words_of(answer)


def test_the_part_that_is_swapped_is_the_markup_of_the_page(technician: Visitor) -> None:
    page, part = send(technician, MICROMETER), send(technician, MICROMETER, part=True)
    assert part.text.strip() in page.text
    assert "<html" not in part.text


def test_a_ships_office_sends_no_budget(office: Visitor) -> None:
    assert office.client.post(PLACE, data=MICROMETER).status_code == 403
