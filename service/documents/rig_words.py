"""The test rig behind a bench run, as a certificate prints it: the rig as the run kept it at its start."""

from service.documents.printed_values import day, instant
from service.metrology.typed_numbers import plain
from service.workshop.test_rig import RigOil, RigUse


def rig_sentences(rig: RigUse | None) -> str:
    """Rig, unit of its dial, oil and the check of that day; '' for a run that no rig is known of."""
    if rig is None:
        return ""
    return f"Test rig {rig.code}, dial in {rig.unit}. {_oil(rig.oil)} {_check(rig)}"


def _oil(oil: RigOil | None) -> str:
    if oil is None:
        return "Its test oil was not recorded."
    modulus = "" if oil.bulk_modulus_gpa is None else f", bulk modulus {plain(oil.bulk_modulus_gpa)} GPa"
    stated = f"{oil.name}, {plain(oil.viscosity_mm2_s)} mm²/s at 40 °C{modulus}"
    return f"Test oil {stated}, changed on {day(oil.changed_on)}."


def _check(rig: RigUse) -> str:
    if rig.checked_at is None:
        return "The rig had not been checked that day."
    return f"Rig checked {instant(rig.checked_at)} by {rig.checked_by}: {'good' if rig.check_good else 'not good'}."
