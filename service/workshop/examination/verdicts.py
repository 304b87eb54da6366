"""What the size rules share: which verdict is worse, what a magnitude may be, and the sentence for people."""

from decimal import Decimal

from service.metrology.conformity import Conforms, DoesNotConform, NotProven, Verdict
from service.metrology.typed_numbers import plain
from service.workshop.vocabulary import VerdictKind

SMALLEST = Decimal("0.001")
"""Nothing smaller is measured at the bench, in any unit."""
LARGEST = {"mm": Decimal(500), "N/mm": Decimal(100000), "N": Decimal(1000000)}
"""Beyond this a reading is a slip of the finger."""
_KIND = {
    Conforms: VerdictKind.CONFORMS,
    NotProven: VerdictKind.NOT_PROVEN,
    DoesNotConform: VerdictKind.DOES_NOT_CONFORM,
}


def kind_of(judged: Verdict) -> VerdictKind:
    """The verdict's word in the vocabulary."""
    return _KIND[type(judged)]


def severity(judged: Verdict) -> int:
    """0 conforms, 1 not proven, 2 does not conform."""
    return [Conforms, NotProven, DoesNotConform].index(type(judged))


def size_sentence(worst: Verdict, unit: str, uncertainty: Decimal) -> str:
    """Why a size came out so: the value, the limit that decided, and the expanded uncertainty U, all in `unit`."""
    excess, u = worst.excess, f"U = {uncertainty:f} {unit}"
    value, by = f"{plain(worst.value)} {unit}", f"by {plain(abs(excess))} {unit}"
    limit = f"the limit of {plain(_nearest_limit(worst))} {unit}"
    match worst:
        case Conforms():
            return f"{value} is inside {limit} {by}, with {u}."
        case NotProven():
            side = "inside" if excess <= 0 else "outside"
            return (
                f"{value} is {side} {limit} {by} only; with {u} neither pass nor fail is proven. "
                "Measure with a better instrument or ask for a concession."
            )
        case DoesNotConform():
            return f"{value} is beyond {limit} {by}, with {u}."


def _nearest_limit(judged: Verdict) -> Decimal:
    """The limit that `excess` is told from."""
    limits = [limit for limit in (judged.lower, judged.upper) if limit is not None]
    return min(limits, key=lambda limit: abs(judged.value - limit))
