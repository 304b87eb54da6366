"""The named people, fleets and vessels of the tests: those of the demonstration."""

from seed_demo.cast import (
    ALDER,
    AUXILIARY,
    BEN,
    BIRCH,
    CEDAR,
    FOUR_STROKE,
    KARL,
    MIRA,
    OLGA,
    OPERATORS,
    PEOPLE,
    PETRA,
    TOM,
    TWO_STROKE,
    CastPerson,
)

__all__ = [
    "ALDER",
    "AUXILIARY",
    "BEN",
    "BIRCH",
    "CEDAR",
    "FOUR_STROKE",
    "KARL",
    "MIRA",
    "OLGA",
    "OPERATORS",
    "PEOPLE",
    "PETRA",
    "TOM",
    "TWO_STROKE",
    "CastPerson",
]
