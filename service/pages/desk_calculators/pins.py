"""Go and no-go gauge pins for a class of holes: the limits, the go pin new, the sizes to buy."""

from dataclasses import dataclass
from decimal import Decimal

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.shop import Actor, Refused
from service.metrology.designations import tolerance_class
from service.metrology.errors import DomainError
from service.metrology.gauge_pins import PinProposal, PinSizes, pin_sizes, propose_pins
from service.metrology.limits_and_fits import LimitsOfSize, limits_of_size
from service.metrology.typed_numbers import plain
from service.pages.desk_calculators.asking import asked, frame_of, kept_address, status_of_answer
from service.pages.guards import AtBench
from service.pages.overhauls.whole_or_part import whole_or_part
from service.pages.rendering import FormState, Frame
from service.pages.typed_forms import Typed, errors_of

router = APIRouter()
_FIELDS = {"wear_allowance": "wear"}
_UM_PER_MM = 1000


@dataclass(frozen=True)
class PinRow:
    """What a pair of pins is, its two sizes in mm, and why."""

    what: str
    go: str
    no_go: str
    why: str


@dataclass(frozen=True)
class PinsAnswer:
    """The pins of one class."""

    heading: str
    sentence: str
    rows: tuple[PinRow, ...]
    between: str


@dataclass(frozen=True)
class PinsPage:
    """What was typed and the pins for it."""

    page: Frame
    form: FormState
    found: PinsAnswer | None
    address: str


@router.get("/calculators/pins")
def show_pins(request: Request, actor: Actor = AtBench) -> Response:
    """Pins of a class by ISO 286-1, with wear and uncertainty."""
    typed, found, error = asked(request), None, None
    try:
        found = _found(typed) if typed.fields else None
    except DomainError as refusal:
        error = refusal
    errors = {_FIELDS.get(name, name): sentence for name, sentence in errors_of(error).items()}
    form = FormState(typed.shown().values, errors)
    page = PinsPage(frame_of(request, "Gauge pins", actor), form, found, kept_address(request, error))
    return whole_or_part(request, "desk_calculators/pins", page, status_of_answer(error))


def _found(typed: Typed) -> PinsAnswer:
    if not typed.text("designation"):
        raise Refused("designation-missing", "Type the class of the hole, such as 0.85 H9.", "designation")
    hole = tolerance_class(typed.text("designation"))
    limits = limits_of_size(hole)
    sizes = pin_sizes(limits, _mm(typed, "wear"))
    doubt = _mm(typed, "uncertainty")
    to_buy = propose_pins(sizes, _mm(typed, "increment"), doubt) if typed.text("increment") else None
    return PinsAnswer(str(hole), _sentence(limits), _rows(sizes, to_buy), _between(to_buy))


def _rows(sizes: PinSizes, to_buy: PinProposal | None) -> tuple[PinRow, ...]:
    rows = [PinRow("At the limit", plain(sizes.go_mm), plain(sizes.no_go_mm), "The least and the largest size allowed")]
    if sizes.wear_allowance_mm:
        why = "The go pin is made larger by the wear allowance and is worn out at the limit"
        rows.append(PinRow("New", plain(sizes.go_new_mm), plain(sizes.no_go_mm), why))
    if to_buy is not None:
        why = "The next sizes on the safe side, wear and uncertainty counted"
        rows.append(PinRow("To buy", plain(to_buy.go_to_buy_mm), plain(to_buy.no_go_to_buy_mm), why))
    return tuple(rows)


def _between(to_buy: PinProposal | None) -> str:
    return "" if to_buy is None else ", ".join(plain(size) for size in to_buy.between_mm)


def _sentence(limits: LimitsOfSize) -> str:
    span = f"{plain(limits.min_mm)} and {plain(limits.max_mm)} mm"
    return f"A good hole lies between {span}: the go pin enters, the no-go pin does not."


def _mm(typed: Typed, name: str) -> Decimal:
    """A length typed in µm or with its unit; nothing typed is zero."""
    return typed.quantity(name, "µm") / _UM_PER_MM if typed.text(name) else Decimal(0)
