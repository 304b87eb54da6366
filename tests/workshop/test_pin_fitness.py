"""A set whose go or reject pin would let bad holes pass is refused; one that errs to the safe side is used."""

from dataclasses import replace
from decimal import Decimal as D

import pytest

from service.metrology.gauge_pins import CalibratedPin as PinOfSet
from service.metrology.gauge_pins import PinRole, PinSizes
from service.workshop.instrument_fitness import InstrumentRefused
from service.workshop.limit_sheet import PinCharacteristic
from service.workshop.measurements import CalibratedPin
from service.workshop.pin_fitness import check_go_and_reject_pin, serving_pin
from tests.small_sheet import INSTRUMENTS, SMALL_SHEET

ITEM = SMALL_SHEET.characteristic_by_key["nozzle-holes"]
assert isinstance(ITEM, PinCharacteristic)


def check(go: str, reject: str, designation: str | None = None) -> None:
    pins = (CalibratedPin(nominal=D("0.85"), diameter=D(go)), CalibratedPin(nominal=D("0.88"), diameter=D(reject)))
    check_go_and_reject_pin(replace(ITEM, designation=designation), INSTRUMENTS["PINS-1"], pins)


# U of the set is 0.001 mm; 0.85 H11 is 0.850 to 0.910 mm, 0.84 H11 is 0.840 to 0.900 mm (ISO 286-2).
@pytest.mark.parametrize(
    ("go", "reject", "designation"),
    [
        ("0.850", "0.880", None),
        ("0.8495", "0.8805", None),
        ("0.853", "0.880", None),
        ("0.850", "0.870", None),
        ("0.842", "0.895", "0.84 H11"),
    ],
)
def test_pins_that_prove_their_limits_or_err_to_the_safe_side_are_used(
    go: str, reject: str, designation: str | None
) -> None:
    check(go, reject, designation)


@pytest.mark.parametrize(
    ("go", "reject", "designation", "words"),
    [
        ("0.848", "0.880", None, "0.85 mm go pin of PINS-1 has worn: it measures 0.848 mm (U = 0.001 mm)"),
        ("0.850", "0.882", None, "measures 0.882 mm (U = 0.001 mm), over the largest size of 0.88 mm, and lets holes"),
        ("0.848", "0.880", "0.85 H11", "under the least size of 0.85 mm, and enters holes that are too small"),
        ("0.850", "0.912", "0.85 H11", "over the largest size of 0.91 mm, and lets holes pass that are too large"),
    ],
)
def test_a_pin_past_what_the_limits_allow_is_refused_with_the_remedy(
    go: str, reject: str, designation: str | None, words: str
) -> None:
    with pytest.raises(InstrumentRefused) as refusal:
        check(go, reject, designation)
    assert (refusal.value.code, refusal.value.field) == ("pin-out-of-limits", "instrument")
    assert words in refusal.value.sentence
    assert "Take another set, and have this pin replaced." in refusal.value.sentence


def test_a_set_without_calibrated_diameters_cannot_be_judged_by_them() -> None:
    check_go_and_reject_pin(ITEM, INSTRUMENTS["PINS-1"], ())


LIMITS = PinSizes(D("0.850"), D("0.875"), D(0))


def owned(*diameters: str) -> list[PinOfSet]:
    """Pins of one set by their diameters, U = 1 µm."""
    return [PinOfSet("P", D(one), D(one), D("0.001")) for one in diameters]


@pytest.mark.parametrize(
    ("role", "diameters", "chosen"),
    [
        (PinRole.GO, ("0.8505", "0.8512", "0.853", "0.90"), "0.8512"),
        (PinRole.NO_GO, ("0.70", "0.860", "0.8738", "0.8745", "0.880"), "0.8738"),
    ],
)
def test_of_the_pins_that_prove_a_limit_the_nearest_one_serves(
    role: PinRole, diameters: tuple[str, ...], chosen: str
) -> None:
    found = serving_pin(owned(*diameters), role, LIMITS)
    assert found is not None
    assert found.pin.diameter_mm == D(chosen)


def test_a_set_may_have_no_pin_that_proves_a_limit() -> None:
    assert serving_pin(owned("0.8505", "0.880"), PinRole.GO, LIMITS) is None
    assert serving_pin(owned("0.70", "0.8745"), PinRole.NO_GO, LIMITS) is None
    assert serving_pin(owned("0.865"), PinRole.GO, LIMITS) is None
