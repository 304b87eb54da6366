"""The desk calculator for recuts: what is left, how many more cuts, and what it refuses."""

from urllib.parse import urlencode

import pytest

from tests.pages.forms_on_page import Visitor, words_of

SEAT = {"size": "12.38", "limit": "12.60", "expanded_uncertainty": "0.004", "side": "upper", "cuts": "0.05," * 9}


def test_the_range_is_told_with_the_metal_and_the_cuts_it_rests_on(technician: Visitor) -> None:
    words = words_of(technician.get(f"/calculators/recuts?{urlencode(SEAT)}"))
    assert "4 more recuts, going by 9 cuts of 0.05 to 0.05 mm on this type." in words
    assert "Left to the limit 0.22 ± 0.004 mm Cuts given 9 Careful, 90 % 4 Even, 50 % 4 Hopeful, 10 % 4" in words


def test_with_too_few_cuts_it_says_so(technician: Visitor) -> None:
    words = words_of(technician.get(f"/calculators/recuts?{urlencode({**SEAT, 'cuts': '0,05; 0,06'})}"))
    assert "Not known: 2 recuts of this type on record, and a forecast needs 9." in words
    assert "Careful, 90 %" not in words


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"size": ""}, "size"),
        ({"size": "-12"}, "size"),
        ({"limit": "NaN"}, "limit"),
        ({"limit": "99"}, "limit"),
        ({"expanded_uncertainty": "-0.1"}, "expanded_uncertainty"),
        ({"side": "left"}, "side"),
        ({"cuts": "0.05, deep"}, "cuts"),
        ({"cuts": "0," * 9}, "cuts"),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field_and_stays_typed(
    technician: Visitor, change: dict[str, str], field: str
) -> None:
    answer = technician.get(f"/calculators/recuts?{urlencode({**SEAT, **change})}")
    assert answer.status_code == 422
    assert f'id="{field}-error"' in answer.text
    assert 'value="12.38"' in answer.text or "size" in change
    assert "more recut" not in words_of(answer)
