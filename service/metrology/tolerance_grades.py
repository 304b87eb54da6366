"""Standard tolerances IT01 to IT18 for nominal sizes to 500 mm: ISO 286-1:2010, Table 1.

Each cell is checked against the published table in `tests/published/`.
"""

from bisect import bisect_left

from service.metrology.errors import MetrologyError

NM_PER_MM = 1_000_000
NM_PER_UM = 1_000
LARGEST_NOMINAL_NM = 500 * NM_PER_MM
_ONE_MM_NM = NM_PER_MM

# A band is "over the one before, up to and including this": 3 mm belongs to the first.
_BAND_UPTO_MM = (3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500)
_BAND_UPTO_NM = tuple(upto * NM_PER_MM for upto in _BAND_UPTO_MM)

# Nanometres, so that 0.3 µm and half of 0.5 µm stay whole numbers. One row a grade, one column a band.
# fmt: off
_TOLERANCE_NM: dict[str, tuple[int, ...]] = {
    "01": (300, 400, 400, 500, 600, 600, 800, 1_000, 1_200, 2_000, 2_500, 3_000, 4_000),
    "0": (500, 600, 600, 800, 1_000, 1_000, 1_200, 1_500, 2_000, 3_000, 4_000, 5_000, 6_000),
    "1": (800, 1_000, 1_000, 1_200, 1_500, 1_500, 2_000, 2_500, 3_500, 4_500, 6_000, 7_000, 8_000),
    "2": (1_200, 1_500, 1_500, 2_000, 2_500, 2_500, 3_000, 4_000, 5_000, 7_000, 8_000, 9_000, 10_000),
    "3": (2_000, 2_500, 2_500, 3_000, 4_000, 4_000, 5_000, 6_000, 8_000, 10_000, 12_000, 13_000, 15_000),
    "4": (3_000, 4_000, 4_000, 5_000, 6_000, 7_000, 8_000, 10_000, 12_000, 14_000, 16_000, 18_000, 20_000),
    "5": (
        4_000, 5_000, 6_000, 8_000, 9_000, 11_000, 13_000,
        15_000, 18_000, 20_000, 23_000, 25_000, 27_000,
    ),
    "6": (
        6_000, 8_000, 9_000, 11_000, 13_000, 16_000, 19_000,
        22_000, 25_000, 29_000, 32_000, 36_000, 40_000,
    ),
    "7": (
        10_000, 12_000, 15_000, 18_000, 21_000, 25_000, 30_000,
        35_000, 40_000, 46_000, 52_000, 57_000, 63_000,
    ),
    "8": (
        14_000, 18_000, 22_000, 27_000, 33_000, 39_000, 46_000,
        54_000, 63_000, 72_000, 81_000, 89_000, 97_000,
    ),
    "9": (
        25_000, 30_000, 36_000, 43_000, 52_000, 62_000, 74_000,
        87_000, 100_000, 115_000, 130_000, 140_000, 155_000,
    ),
    "10": (
        40_000, 48_000, 58_000, 70_000, 84_000, 100_000, 120_000,
        140_000, 160_000, 185_000, 210_000, 230_000, 250_000,
    ),
    "11": (
        60_000, 75_000, 90_000, 110_000, 130_000, 160_000, 190_000,
        220_000, 250_000, 290_000, 320_000, 360_000, 400_000,
    ),
    "12": (
        100_000, 120_000, 150_000, 180_000, 210_000, 250_000, 300_000,
        350_000, 400_000, 460_000, 520_000, 570_000, 630_000,
    ),
    "13": (
        140_000, 180_000, 220_000, 270_000, 330_000, 390_000, 460_000,
        540_000, 630_000, 720_000, 810_000, 890_000, 970_000,
    ),
    "14": (
        250_000, 300_000, 360_000, 430_000, 520_000, 620_000, 740_000,
        870_000, 1_000_000, 1_150_000, 1_300_000, 1_400_000, 1_550_000,
    ),
    "15": (
        400_000, 480_000, 580_000, 700_000, 840_000, 1_000_000, 1_200_000,
        1_400_000, 1_600_000, 1_850_000, 2_100_000, 2_300_000, 2_500_000,
    ),
    "16": (
        600_000, 750_000, 900_000, 1_100_000, 1_300_000, 1_600_000, 1_900_000,
        2_200_000, 2_500_000, 2_900_000, 3_200_000, 3_600_000, 4_000_000,
    ),
    "17": (
        1_000_000, 1_200_000, 1_500_000, 1_800_000, 2_100_000, 2_500_000, 3_000_000,
        3_500_000, 4_000_000, 4_600_000, 5_200_000, 5_700_000, 6_300_000,
    ),
    "18": (
        1_400_000, 1_800_000, 2_200_000, 2_700_000, 3_300_000, 3_900_000, 4_600_000,
        5_400_000, 6_300_000, 7_200_000, 8_100_000, 8_900_000, 9_700_000,
    ),
}
# fmt: on

GRADES = tuple(_TOLERANCE_NM)
"""The twenty standard tolerance grades in their order: 01, 0, 1 to 18."""


def grade_rank(grade: str) -> int:
    """Where a grade stands among the twenty: 01 is 0, 0 is 1, 1 is 2 ... 18 is 19."""
    return GRADES.index(grade)


def standard_tolerance_nm(nominal_nm: int, grade: str) -> int:
    """The tolerance of one IT grade in nanometres for a nominal size in nanometres, over 0 to 500 mm.

    ISO 286-1:2010, Table 1. Grades 14 to 18 are refused to and including 1 mm, where the note under that
    table says that they are not to be used. Raises MetrologyError for a size or a grade that the table
    does not hold.
    """
    if not 0 < nominal_nm <= LARGEST_NOMINAL_NM:
        raise MetrologyError(
            "nominal-size-outside-table",
            "The nominal size must be over 0 and up to 500 mm, where these tables of ISO 286-1 end.",
            "designation",
        )
    if grade not in _TOLERANCE_NM:
        raise MetrologyError(
            "grade-not-defined",
            f"ISO 286-1 has no grade IT{grade}: use IT01, IT0, IT1 to IT18.",
            "designation",
        )
    if nominal_nm <= _ONE_MM_NM and grade_rank(grade) >= grade_rank("14"):
        raise MetrologyError(
            "grade-not-for-small-sizes",
            f"ISO 286-1 does not use IT{grade} for nominal sizes up to 1 mm: choose IT13 or finer.",
            "designation",
        )
    return _TOLERANCE_NM[grade][bisect_left(_BAND_UPTO_NM, nominal_nm)]
