"""Spray holes by gauge pins, as the API answers them."""

from pydantic import Field

from service.api.bodies import Answer, Exact
from service.workshop.vocabulary import VerdictKind


class BoundedAnswer(Answer):
    """A value with its expanded uncertainty (k = 2), and the ends that the pins leave possible."""

    value: Exact
    uncertainty: Exact
    least: Exact
    most: Exact


class SprayHoleAnswer(Answer):
    """One hole in mm: its bracket, the bracket widened by the pins' uncertainty, its middle; null is open."""

    hole: int
    verdict: VerdictKind
    entering: Exact | None
    refused: Exact | None
    lower: Exact | None
    upper: Exact | None
    best: Exact | None
    uncertainty: Exact | None = Field(description="Of the middle, k = 2.")


class NozzleAnswer(Answer):
    """Every hole, the spread (mm), the flow area (mm²), in per cent of nominal, and its change since new in per cent.

    `calibrated` is false where the sizes marked on the pins counted. Null is what an open hole leaves unknown.
    """

    holes: list[SprayHoleAnswer]
    calibrated: bool
    spread: BoundedAnswer | None
    area: BoundedAnswer | None
    nominal_area: Exact | None
    of_nominal: BoundedAnswer | None
    since_new: BoundedAnswer | None
