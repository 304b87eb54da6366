"""The lines of a polar plot: which reference circles there are, and how each is told apart without a colour."""

from enum import StrEnum
from typing import cast

from service.metrology.roundness import ReferenceCircle, Roundness

PROFILE_WIDTH = 2.4
LIMIT_WIDTH = 1.8
LIMIT_DASHES = "14 3 2 3 2 3"


class Reference(StrEnum):
    """The four reference circles of ISO 12181-1, by their names in `Roundness`."""

    MINIMUM_ZONE = "minimum_zone"
    LEAST_SQUARES = "least_squares"
    MINIMUM_CIRCUMSCRIBED = "minimum_circumscribed"
    MAXIMUM_INSCRIBED = "maximum_inscribed"

    @property
    def label(self) -> str:
        """In words."""
        return self.value.replace("_", " ").capitalize()

    @property
    def short(self) -> str:
        """The two letters at the circle."""
        return {"minimum_zone": "MZ", "least_squares": "LS"}.get(self.value, "MC" if "circum" in self.value else "MI")

    @property
    def dashes(self) -> str | None:
        """How its line is drawn; the minimum zone is a thin whole line."""
        return {"minimum_zone": None, "least_squares": "9 4", "minimum_circumscribed": "2 4"}.get(
            self.value, "11 3 2 3"
        )

    @property
    def width(self) -> float:
        """How broad its line is."""
        return 1.1 if self is Reference.MINIMUM_ZONE else 1.5

    def of(self, found: Roundness) -> ReferenceCircle | None:
        """This circle among the four; None where the points leave one side open and it is the inscribed one."""
        return cast(ReferenceCircle | None, getattr(found, self.value))
