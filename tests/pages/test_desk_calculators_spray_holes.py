"""Spray holes at the desk: pins typed, the holes drawn and told, and what is refused. All invented."""

from urllib.parse import urlencode

import pytest

from tests.pages.forms_on_page import Visitor, words_of

TYPED = {
    "passes": "1, 0.85, yes\n1, 0.86, no\n2, 0.86, yes\n2, 0.87, no\n3, 0.89, yes\n3, 0.90, no",
    "expanded_uncertainty": "0.001",
    "k": "2",
    "designation": "0.85 H9",
    "nominal": "",
}


def test_the_holes_are_drawn_and_told_with_their_verdicts(technician: Visitor) -> None:
    answer = technician.get(f"/calculators/spray-holes?{urlencode(TYPED)}")
    words = words_of(answer)
    # ISO 286: 0.85 H9 is 0.850 to 0.875 mm (shared/iso286).
    assert "Conforming to 0.85 H9: 1 of 3 spray holes" in words
    assert "2 0.86 to 0.87 0.859 to 0.871 0.865 ± 0.0059 Conforms" in words
    assert "Hole 3: 0.89 to 0.9 mm, does not conform." in words
    for state in ("conforms", "not-proven", "does-not-conform"):
        assert f'<g class="hole-{state}">' in answer.text
    assert "Hole to hole 0.04 mm" in words
    assert "Nominal area 1.7024 mm², 3 × 0.85 mm" in words
    assert "U of a pin 0.001 mm" in words


def test_without_a_class_the_holes_are_gauged_and_not_judged(technician: Visitor) -> None:
    typed = {**TYPED, "designation": "", "nominal": "850 µm", "expanded_uncertainty": "", "k": ""}
    answer = technician.get(f"/calculators/spray-holes?{urlencode(typed)}")
    words = words_of(answer)
    assert "Gauged, not judged" in words
    assert 'data-label="Verdict"' not in answer.text
    assert "U of a pin none given: the pins count as exact" in words
    assert "Against nominal" in words


@pytest.mark.parametrize(
    ("change", "field", "said"),
    [
        ({"passes": ""}, "passes", "No pin is tried yet"),
        ({"passes": "1, 0.86, yes\n1, 0.85, no"}, "passes", "Hole 1: the 0.86 mm pin enters but the smaller 0.85 mm"),
        ({"passes": "1, wide, yes"}, "passes", "Line 1 reads “wide” as the pin"),
        ({"expanded_uncertainty": "-1"}, "expanded_uncertainty", "give zero or more"),
        ({"expanded_uncertainty": "1 bar"}, "expanded_uncertainty", ""),
        ({"k": "x"}, "k", "which is not a number"),
        ({"nominal": "0.85"}, "nominal", "not both"),
        ({"nominal": "900", "designation": ""}, "nominal", "give 0.01 to 100 mm"),
        ({"designation": "wide"}, "designation", ""),
        ({"designation": "0.85 g6"}, "designation", "a small letter is a shaft"),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field_and_stays_typed(
    technician: Visitor, change: dict[str, str], field: str, said: str
) -> None:
    answer = technician.get(f"/calculators/spray-holes?{urlencode({**TYPED, **change})}")
    assert answer.status_code == 422
    assert f'id="{field}-error"' in answer.text
    assert said in words_of(answer)
    assert "data-answer" not in answer.text
    assert 'value="0.001"' in answer.text or field == "expanded_uncertainty"
    assert f">\n{change.get('passes', TYPED['passes'])}</textarea>" in answer.text
