"""Deviations of holes A to ZC, derived from those of shafts: ISO 286-1:2010, 4.3.2.5 and Tables 2 and 3.

Clause numbers from memory; each resulting cell is checked against the published tables.
"""

from service.metrology.shaft_deviations import shaft_lower_nm, shaft_upper_nm
from service.metrology.tolerance_grades import GRADES, NM_PER_MM, NM_PER_UM, grade_rank, standard_tolerance_nm

# Upper deviation ES of J in micrometres; J is in the standard for these three grades only.
_J_BAND_UPTO_MM = (3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500)
_J_UPPER_UM: dict[str, tuple[int, ...]] = {
    "6": (2, 5, 5, 6, 8, 10, 13, 16, 18, 22, 25, 29, 33),
    "7": (4, 6, 8, 10, 12, 14, 18, 22, 26, 30, 36, 39, 43),
    "8": (6, 10, 12, 15, 20, 24, 28, 34, 41, 47, 55, 60, 66),
}
_THREE_MM_NM = 3 * NM_PER_MM


def hole_lower_nm(letter: str, nominal_nm: int) -> int | None:
    """EI of a hole A to H in nanometres, the mirror of the shaft's es; None where nothing is defined."""
    shaft = shaft_upper_nm(letter.lower(), nominal_nm)
    return None if shaft is None else -shaft


def hole_upper_nm(letter: str, nominal_nm: int, grade: str) -> int | None:
    """ES of a hole J to ZC in nanometres; None where the standard defines nothing at this size and grade.

    ES = −ei of the shaft plus Delta. The exceptions are written out: J has its own table, N above IT8 lies
    on the zero line, K above IT8 ends at 3 mm, and M6 over 250 up to 315 mm is −9 µm.
    """
    if letter == "J":
        row = _J_UPPER_UM.get(grade)
        return None if row is None else row[_j_band(nominal_nm)] * NM_PER_UM
    small = nominal_nm <= _THREE_MM_NM
    coarse = grade_rank(grade) > grade_rank("8")
    if letter == "K" and coarse:
        return 0 if small else None
    if letter == "N" and coarse and not small:
        return 0
    if letter == "M" and grade == "6" and 250 * NM_PER_MM < nominal_nm <= 315 * NM_PER_MM:
        return -9 * NM_PER_UM
    # K of every grade to IT8 mirrors the deviation that k has from IT4 to IT7.
    shaft = shaft_lower_nm(letter.lower(), nominal_nm, "7" if letter == "K" else grade)
    delta = delta_nm(letter, nominal_nm, grade)
    return None if shaft is None or delta is None else -shaft + delta


def delta_nm(letter: str, nominal_nm: int, grade: str) -> int | None:
    """Delta in nanometres: IT(n) − IT(n−1) for K, M, N up to IT8 and P to ZC up to IT7, over 3 mm; else 0.

    None for IT01, which has no finer grade to subtract.
    """
    coarsest_with = "8" if letter in ("K", "M", "N") else "7"
    if nominal_nm <= _THREE_MM_NM or grade_rank(grade) > grade_rank(coarsest_with):
        return 0
    if grade == GRADES[0]:
        return None
    finer = GRADES[grade_rank(grade) - 1]
    return standard_tolerance_nm(nominal_nm, grade) - standard_tolerance_nm(nominal_nm, finer)


def _j_band(nominal_nm: int) -> int:
    return sum(nominal_nm > upto * NM_PER_MM for upto in _J_BAND_UPTO_MM)
