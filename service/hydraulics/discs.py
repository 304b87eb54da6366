"""How many discs may be added under the spring to raise the opening pressure."""

from dataclasses import dataclass

from service.hydraulics.errors import HydraulicsError

USUAL_MOST_DISCS = 5
"""Extra discs that adjust the pressure of one injector at the most: common practice, no source."""


@dataclass(frozen=True, slots=True)
class DiscAllowance:
    """Discs added so far, discs about to be added, and the most that the limit sheet allows."""

    fitted: int
    to_add: int
    most: int

    @property
    def allowed(self) -> bool:
        """Whether the number after the change stays within the sheet's number, which itself is allowed."""
        return self.fitted + self.to_add <= self.most

    @property
    def room(self) -> int:
        """Discs that could still be added before this change."""
        return max(0, self.most - self.fitted)

    @property
    def sentence(self) -> str:
        """What is allowed and what to do otherwise, for people."""
        total = self.fitted + self.to_add
        if self.allowed:
            return f"{total} of at most {self.most} added discs."
        return (
            f"{total} added discs are more than the {self.most} of the limit sheet, with room for {self.room}: "
            "the spring is examined or renewed instead."
        )


def added_discs(fitted: int, to_add: int, most: int = USUAL_MOST_DISCS) -> DiscAllowance:
    """Check the discs to be added against those added so far in this overhaul.

    Raises HydraulicsError with code `disc-count-negative` when a count is below zero.
    """
    for what, count in (("discs fitted", fitted), ("discs to add", to_add), ("most discs", most)):
        if count < 0:
            raise HydraulicsError(
                "disc-count-negative", f"The number of {what} is {count}: give zero or more.", "discs"
            )
    return DiscAllowance(fitted, to_add, most)
