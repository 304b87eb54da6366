"""The spray holes at the bench: the drawing, what the pins say of each hole, and pins that contradict each other."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from markupsafe import Markup

from service.documents.nozzle_words import hole_lines, in_words, nozzle_facts
from service.documents.pin_row import pin_row
from service.metrology.errors import DomainError
from service.pages.overhauls.bench_pins import BenchPins
from service.pages.overhauls.nozzle_holes import HoleDrawn, holes_drawn
from service.pages.overhauls.small_forms import Fact
from service.records.examination_reads import EarlierFinding
from service.workshop.entries import Examined
from service.workshop.examination.pins_tried import PinsContradict
from service.workshop.limit_sheet import AnyCharacteristic, PinCharacteristic
from service.workshop.nozzle_change import change_between
from service.workshop.nozzle_found import NozzleFound


@dataclass(frozen=True)
class HoleShown:
    """One hole of the table, sizes in mm."""

    hole: str
    bracket: str
    widened: str
    middle: str
    mark: str
    verdict: str


@dataclass(frozen=True)
class NozzleCard:
    """All about the holes; `recorded` are drawings of contradictory passes by the name of the hole's field."""

    holes: tuple[HoleDrawn, ...]
    lines: tuple[HoleShown, ...] = ()
    facts: tuple[Fact, ...] = ()
    recorded: Mapping[str, Markup] = field(default_factory=dict)
    pins: BenchPins | None = None


def nozzle_card(
    item: AnyCharacteristic,
    found: Examined | None,
    before: EarlierFinding | None,
    error: DomainError | None,
    pins: BenchPins | None,
) -> NozzleCard | None:
    """The card, None for a characteristic without spray holes. `before` is what an earlier overhaul found."""
    holes = holes_drawn(item, found)
    if not holes:
        return None
    nozzle = found.outcome.nozzle if found is not None else None
    if nozzle is None or not isinstance(item, PinCharacteristic):
        return NozzleCard(holes, recorded=contradictions_drawn(error), pins=pins)
    return NozzleCard(
        holes=holes,
        lines=tuple(
            HoleShown(one.hole, one.bracket, one.widened, one.middle, one.verdict.value, one.verdict.label)
            for one in hole_lines(nozzle)
        ),
        facts=(*(Fact(label, value) for label, value in nozzle_facts(item, nozzle)), *_since_last_time(nozzle, before)),
        recorded=contradictions_drawn(error),
        pins=pins,
    )


def contradictions_drawn(error: DomainError | None) -> dict[str, Markup]:
    """What was recorded in each hole whose pins contradict each other."""
    if not isinstance(error, PinsContradict):
        return {}
    # The drawing escapes its texts; all else in it are numbers.
    return {f"hole-{one.hole}": Markup(pin_row(one, f"pins-of-hole-{one.hole}")) for one in error.holes}


def _since_last_time(now: NozzleFound, before: EarlierFinding | None) -> tuple[Fact, ...]:
    """The change since an earlier overhaul gauged this nozzle; nothing where it was renewed then."""
    if before is None or before.renewed:
        return ()
    change = change_between(before.examined.outcome.nozzle, now)
    return () if change is None else (Fact(f"Change since {before.overhaul}", in_words(change, "%", signed=True)),)
