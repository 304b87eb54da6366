"""Fundamental deviations of shafts a to zc to 500 mm: ISO 286-1:2010, Tables 4 and 5.

Each cell is checked against the published table in `tests/published/`; ef over 18 to 30 mm follows the
corrigendum of 2013 (-28, not the -25 of the first print). Whole micrometres; None where the standard
defines nothing.
"""

from bisect import bisect_left

from service.metrology.tolerance_grades import NM_PER_MM, NM_PER_UM, grade_rank

# A band is "over the one before, up to and including this".
_BAND_UPTO_MM = (
    3, 6, 10, 14, 18, 24, 30, 40, 50, 65, 80, 100, 120,
    140, 160, 180, 200, 225, 250, 280, 315, 355, 400, 450, 500,
)  # fmt: skip
_BAND_UPTO_NM = tuple(upto * NM_PER_MM for upto in _BAND_UPTO_MM)

# Upper deviation es in micrometres, letters a to h, all grades alike.
_UPPER_UM: dict[str, tuple[int | None, ...]] = {
    "a": (
        -270, -270, -280, -290, -290, -300, -300, -310, -320, -340, -360, -380, -410,
        -460, -520, -580, -660, -740, -820, -920, -1050, -1200, -1350, -1500, -1650,
    ),
    "b": (
        -140, -140, -150, -150, -150, -160, -160, -170, -180, -190, -200, -220, -240,
        -260, -280, -310, -340, -380, -420, -480, -540, -600, -680, -760, -840,
    ),
    "c": (
        -60, -70, -80, -95, -95, -110, -110, -120, -130, -140, -150, -170, -180,
        -200, -210, -230, -240, -260, -280, -300, -330, -360, -400, -440, -480,
    ),
    "cd": (-34, -46, -56, -70, -70, -85, -85, -100, -100, *(None,) * 16),
    "d": (
        -20, -30, -40, -50, -50, -65, -65, -80, -80, -100, -100, -120, -120,
        -145, -145, -145, -170, -170, -170, -190, -190, -210, -210, -230, -230,
    ),
    "e": (
        -14, -20, -25, -32, -32, -40, -40, -50, -50, -60, -60, -72, -72,
        -85, -85, -85, -100, -100, -100, -110, -110, -125, -125, -135, -135,
    ),
    "ef": (-10, -14, -18, -23, -23, -28, -28, -35, -35, *(None,) * 16),
    "f": (
        -6, -10, -13, -16, -16, -20, -20, -25, -25, -30, -30, -36, -36,
        -43, -43, -43, -50, -50, -50, -56, -56, -62, -62, -68, -68,
    ),
    "fg": (-4, -6, -8, -10, -10, -12, -12, -15, -15, *(None,) * 16),
    "g": (
        -2, -4, -5, -6, -6, -7, -7, -9, -9, -10, -10, -12, -12,
        -14, -14, -14, -15, -15, -15, -17, -17, -18, -18, -20, -20,
    ),
    "h": (0,) * 25,
}  # fmt: skip

# Lower deviation ei in micrometres, all grades alike.
_LOWER_UM: dict[str, tuple[int | None, ...]] = {
    "m": (2, 4, 6, 7, 7, 8, 8, 9, 9, 11, 11, 13, 13, 15, 15, 15, 17, 17, 17, 20, 20, 21, 21, 23, 23),
    "n": (4, 8, 10, 12, 12, 15, 15, 17, 17, 20, 20, 23, 23, 27, 27, 27, 31, 31, 31, 34, 34, 37, 37, 40, 40),
    "p": (
        6, 12, 15, 18, 18, 22, 22, 26, 26, 32, 32, 37, 37,
        43, 43, 43, 50, 50, 50, 56, 56, 62, 62, 68, 68,
    ),
    "r": (
        10, 15, 19, 23, 23, 28, 28, 34, 34, 41, 43, 51, 54,
        63, 65, 68, 77, 80, 84, 94, 98, 108, 114, 126, 132,
    ),
    "s": (
        14, 19, 23, 28, 28, 35, 35, 43, 43, 53, 59, 71, 79,
        92, 100, 108, 122, 130, 140, 158, 170, 190, 208, 232, 252,
    ),
    "t": (
        None, None, None, None, None, None, 41, 48, 54, 66, 75, 91, 104,
        122, 134, 146, 166, 180, 196, 218, 240, 268, 294, 330, 360,
    ),
    "u": (
        18, 23, 28, 33, 33, 41, 48, 60, 70, 87, 102, 124, 144,
        170, 190, 210, 236, 258, 284, 315, 350, 390, 435, 490, 540,
    ),
    "v": (
        None, None, None, None, 39, 47, 55, 68, 81, 102, 120, 146, 172,
        202, 228, 252, 284, 310, 340, 385, 425, 475, 530, 595, 660,
    ),
    "x": (
        20, 28, 34, 40, 45, 54, 64, 80, 97, 122, 146, 178, 210,
        248, 280, 310, 350, 385, 425, 475, 525, 590, 660, 740, 820,
    ),
    "y": (
        None, None, None, None, None, 63, 75, 94, 114, 144, 174, 214, 254,
        300, 340, 380, 425, 470, 520, 580, 650, 730, 820, 920, 1000,
    ),
    "z": (
        26, 35, 42, 50, 60, 73, 88, 112, 136, 172, 210, 258, 310,
        365, 415, 465, 520, 575, 640, 710, 790, 900, 1000, 1100, 1250,
    ),
    "za": (
        32, 42, 52, 64, 77, 98, 118, 148, 180, 226, 274, 335, 400,
        470, 535, 600, 670, 740, 820, 920, 1000, 1150, 1300, 1450, 1600,
    ),
    "zb": (
        40, 50, 67, 90, 108, 136, 160, 200, 242, 300, 360, 445, 525,
        620, 700, 780, 880, 960, 1050, 1200, 1300, 1500, 1650, 1850, 2100,
    ),
    "zc": (
        60, 80, 97, 130, 150, 188, 218, 274, 325, 405, 480, 585, 690,
        800, 900, 1000, 1150, 1250, 1350, 1550, 1700, 1900, 2100, 2400, 2600,
    ),
}  # fmt: skip

# Lower deviation ei of the two letters whose value depends on the grade.
_J5_J6_UM = (
    -2, -2, -2, -3, -3, -4, -4, -5, -5, -7, -7, -9, -9,
    -11, -11, -11, -13, -13, -13, -16, -16, -18, -18, -20, -20,
)  # fmt: skip
_J7_UM = (
    -4, -4, -5, -6, -6, -8, -8, -10, -10, -12, -12, -15, -15,
    -18, -18, -18, -21, -21, -21, -26, -26, -28, -28, -32, -32,
)  # fmt: skip
_J8_UM = (-6, *(None,) * 24)
_K4_TO_K7_UM = (0, 1, 1, 1, 1, 2, 2, 2, 2, 2, 2, 3, 3, 3, 3, 3, 4, 4, 4, 4, 4, 4, 4, 5, 5)
_ALL_ZERO = (0,) * 25

SHAFT_LETTERS = (
    "a", "b", "c", "cd", "d", "e", "ef", "f", "fg", "g", "h", "js", "j", "k", "m", "n",
    "p", "r", "s", "t", "u", "v", "x", "y", "z", "za", "zb", "zc",
)  # fmt: skip
"""The letters of the system for shafts in the order of the standard; a hole has them in capitals."""


def shaft_upper_nm(letter: str, nominal_nm: int) -> int | None:
    """es of a shaft a to h in nanometres; None where the standard defines nothing at this size."""
    return _at(_UPPER_UM[letter], nominal_nm)


def shaft_lower_nm(letter: str, nominal_nm: int, grade: str) -> int | None:
    """ei of a shaft j to zc in nanometres; None where the standard defines nothing at this size and grade."""
    if letter == "j":
        row = {"5": _J5_J6_UM, "6": _J5_J6_UM, "7": _J7_UM, "8": _J8_UM}.get(grade)
        return None if row is None else _at(row, nominal_nm)
    if letter == "k":
        has_deviation = grade_rank("4") <= grade_rank(grade) <= grade_rank("7")
        return _at(_K4_TO_K7_UM if has_deviation else _ALL_ZERO, nominal_nm)
    return _at(_LOWER_UM[letter], nominal_nm)


def letter_fixes_upper(letter: str) -> bool:
    """Whether the letter fixes the upper deviation (a to h) or the lower one (j to zc)."""
    return letter in _UPPER_UM


def _at(row: tuple[int | None, ...], nominal_nm: int) -> int | None:
    deviation = row[bisect_left(_BAND_UPTO_NM, nominal_nm)]
    return None if deviation is None else deviation * NM_PER_UM
