"""A budget as it is kept: exact figures that people can read, and U never less than the calibration's."""

from decimal import Decimal as D

import pytest

from service.metrology.budget_rows import calibration_row, history_row, resolution_row, temperature_rows
from service.metrology.errors import MetrologyError
from service.metrology.kept_budget import figure, kept_budget
from service.metrology.typed_numbers import plain


@pytest.mark.parametrize(
    ("number", "written"),
    [(0.000123456, "0.00012346"), (1234567.0, "1234600"), (2.0, "2"), (0.0, "0"), (1e-9, "0.000000001")],
)
def test_a_figure_has_five_digits_at_most(number: float, written: str) -> None:
    assert plain(figure(number)) == written


def test_an_instrument_without_uncertainty_has_a_budget_of_nothing() -> None:
    found = kept_budget([calibration_row(D(0), D(2), "mm", "certificate 1")], "mm", D(0))
    assert (found.expanded, found.combined, found.k) == (D(0), D(0), D(2))
    assert (found.u_text, found.k_text) == ("0 mm", "2")


def test_where_the_calibration_has_the_larger_u_it_is_taken_and_k_goes_with_it() -> None:
    rows = [calibration_row(D("0.003"), D(3), "mm", "certificate 1"), resolution_row(D("0.001"), "mm", "register")]
    found = kept_budget(rows, "mm", D("0.003"))
    assert found.by_calibration
    assert found.expanded == D("0.003")
    assert found.k == pytest.approx(found.expanded / found.combined, rel=D("0.0001"))


def test_a_scatter_from_one_reading_is_refused() -> None:
    with pytest.raises(MetrologyError) as refusal:
        history_row(D("0.001"), 1, "mm", "register")
    assert refusal.value.field == "degrees_of_freedom"


def test_at_twenty_degrees_only_what_is_not_known_of_the_temperature_counts() -> None:
    rows = temperature_rows(D(100), D(20), D(0), "bench")
    assert [row.contribution.name for row in rows] == [
        "Temperature between instrument and part",
        "Temperature and expansion together",
    ]
    assert {row.stated_unit for row in rows} == {"K", ""}
