"""Bad input at the examination: refused beside its field, nothing stored, nothing typed lost."""

import re

import pytest

from tests.pages.at_the_bench import Injector
from tests.pages.forms_on_page import Visitor, form_of, words_of
from tests.pages.typed_at_the_bench import SOUND, Typed, pin_answers, record, strip
from tests.registered_fleet import PASSWORD

FORM_KEY = re.compile(r'(?<=name="form_key" value=")[^"]+')


@pytest.fixture
def stripped(technician: Visitor, injector: Injector) -> Injector:
    """On the bench in parts."""
    return strip(technician, injector)


@pytest.mark.parametrize(
    ("key", "typed", "field", "sentence"),
    [
        ("body-seat-width", {"readings": "1.40 kg", "instrument": "MIC-1"}, "readings", "not known here"),
        ("body-seat-width", {"readings": "5 bar", "instrument": "MIC-1"}, "readings", "does not measure the same"),
        ("body-seat-width", {"readings": "9 m", "instrument": "MIC-1"}, "readings", "use mm"),
        ("body-seat-width", {"readings": "-1", "instrument": "MIC-1"}, "readings", "check the digits"),
        ("body-seat-width", {"readings": "NaN", "instrument": "MIC-1"}, "readings", "number"),
        ("body-seat-width", {"readings": "", "instrument": "MIC-1"}, "readings", "1 reading"),
        ("body-seat-width", {"readings": "1.1", "instrument": ""}, "instrument", "choose one from the list"),
        ("body-seat-width", {"readings": "1.1", "instrument": "NONE-9"}, "instrument", "not in the register"),
        ("body-seat-width", {"readings": "1.1", "instrument": "RATE-1"}, "instrument", "this needs a micrometer"),
        ("needle-guide", {"readings": ["5.996", ""], "instrument": "MIC-1"}, "readings", "2 readings"),
        ("needle-seat", {"findings": "even", "magnification": "4", "instrument": "SCOPE-1"}, "magnification", "little"),
        ("needle-seat", {"findings": "even", "magnification": "", "instrument": "SCOPE-1"}, "magnification", "Enter"),
        ("needle-seat", {"findings": ["even", "indentation"], "magnification": "9", "instrument": "SCOPE-1"},
         "findings",          "keep the defect"),
        ("nozzle-tip", {}, "findings", "Choose what you found"),
        ("body-pin", {"answer": "perhaps"}, "answer", "yes or no"),
    ],
)  # fmt: skip
def test_bad_input_is_refused_beside_its_field_and_shown_again(
    technician: Visitor, stripped: Injector, key: str, typed: Typed, field: str, sentence: str
) -> None:
    before = stripped.record.last_seq
    answer = record(technician, stripped, key, typed)
    assert answer.status_code == 422
    assert sentence in words_of(answer)
    assert f'id="{field}-error"' in answer.text
    again = form_of(answer, f"/examination/{key}").fields
    for name in ("readings", "magnification", "findings"):
        if name in typed:
            assert again[name] == (typed[name] if isinstance(typed[name], list) else [typed[name]])
    assert stripped.record.last_seq == before


def test_contradictory_pins_are_refused_at_their_hole_with_both_pins_named(
    technician: Visitor, stripped: Injector
) -> None:
    typed = pin_answers("een", "nen", "een", "een")
    answer = record(technician, stripped, "nozzle-holes", typed)
    assert answer.status_code == 422
    assert "Hole 2: the 0.85 mm pin enters but the smaller 0.84 mm pin does not" in words_of(answer)
    assert 'id="hole-2-error"' in answer.text
    again = form_of(answer, "/examination/nozzle-holes").fields
    assert {name: values[0] for name, values in again.items() if "-pin-" in name or name == "instrument"} == typed
    assert stripped.record.finding("nozzle-holes") is None


def test_a_hole_that_was_not_tried_is_named(technician: Visitor, stripped: Injector) -> None:
    answer = record(technician, stripped, "nozzle-holes", pin_answers("een", "een", "een", "e--"))
    assert answer.status_code == 422
    assert "Hole 4: the 0.85 mm and 0.88 mm pin is not answered." in words_of(answer)
    assert 'id="hole-4-error"' in answer.text


@pytest.mark.parametrize("key", list(SOUND))
def test_page_and_part_are_the_same_markup(technician: Visitor, stripped: Injector, key: str) -> None:
    address = f"{stripped.address}/examination/{key}"
    form = form_of(technician.get(address), address)
    whole, part = technician.send(form), technician.send(form, part=True)
    assert whole.status_code == part.status_code == 422
    assert "<html" not in part.text
    # The form for photographs gets a key of its own each time it is drawn.
    assert FORM_KEY.sub("", part.text.strip()) in FORM_KEY.sub("", whole.text)
    assert part.headers["vary"] == "HX-Request, HX-Request-Type"


def test_a_hold_in_the_meantime_loses_nothing_typed(technician: Visitor, manager: Visitor, stripped: Injector) -> None:
    address = f"{stripped.address}/examination/body-seat-width"
    form = form_of(technician.get(address), address)
    manager.fill(stripped.address, "/holds", reason="Owner asks to wait.", password=PASSWORD)
    assert "Held" in words_of(technician.get(address))
    answer = technician.send(form, readings="1,12 mm", instrument="MIC-1")
    assert answer.status_code == 422
    assert "A manager must lift the hold first." in words_of(answer)
    assert form_of(answer, address).fields["readings"] == ["1,12 mm"]
