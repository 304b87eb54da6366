"""The leak that would explain a decay of pressure: q = (V/K)·dp/dt, from the definition of the bulk modulus.

V is the oil that is shut in (rig, pipe and injector together), K the bulk modulus of the oil as it is then: with air in
it, K is far lower and the same decay is a larger leak. The walls are taken as rigid.
"""

from service.hydraulics.errors import HydraulicsError

_MM3_PER_CM3 = 1_000.0
_BAR_PER_GPA = 10_000.0
_LARGEST_CM3 = 100_000.0
_SOFTEST_GPA, _STIFFEST_GPA = 0.05, 10.0


def volume_change_cm3(volume_cm3: float, rise_bar: float, bulk_modulus_gpa: float) -> float:
    """By how much oil of that volume shrinks when the pressure rises: ΔV = V·Δp/K, cm³.

    Raises HydraulicsError with code `volume-range` or `bulk-modulus-range`, fields `volume_cm3`, `bulk_modulus_gpa`.
    """
    if not 0 < volume_cm3 <= _LARGEST_CM3:
        raise HydraulicsError(
            "volume-range", "The volume under pressure is over zero and at most 100 000 cm³: correct it.", "volume_cm3"
        )
    if not _SOFTEST_GPA <= bulk_modulus_gpa <= _STIFFEST_GPA:
        raise HydraulicsError(
            "bulk-modulus-range",
            "The bulk modulus of an oil lies between 0.05 and 10 GPa (mineral oil is near 1.5 GPa): correct it.",
            "bulk_modulus_gpa",
        )
    return volume_cm3 * rise_bar / (bulk_modulus_gpa * _BAR_PER_GPA)


def leak_mm3_per_s(rate_bar_per_min: float, volume_cm3: float, bulk_modulus_gpa: float) -> float:
    """The equivalent leak flow in mm³/s of a decay in bar/min. Raises as `volume_change_cm3` does."""
    return volume_change_cm3(volume_cm3, rate_bar_per_min, bulk_modulus_gpa) * _MM3_PER_CM3 / 60
