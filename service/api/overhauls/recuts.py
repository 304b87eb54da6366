"""The metal of an overhaul's seats: before and after each recut, what is left, how many more are likely."""

from fastapi import APIRouter

from service.actions.looking import look_at_overhaul
from service.actions.shop import Actor, Shop
from service.api.bodies import Answer, Exact, InPath
from service.api.description import READS
from service.api.exact_json import ExactRoute
from service.api.guards import Caller, TheShop
from service.records.recut_reads import cuts_on_type
from service.workshop.recut_outlook import RecutOutlook, recut_outlook
from service.workshop.recuts import LimitSide, RecutsLikely
from service.workshop.seat_metal import SeatMetal, SeatRecut, renewed_by, seat_metal, seats_of

router = APIRouter(prefix="/overhauls/{number}", tags=["overhauls"], route_class=ExactRoute)


class MeasuredSizeAnswer(Answer):
    """A size with its expanded uncertainty, mm."""

    size_mm: Exact
    expanded_uncertainty_mm: Exact


class RecutAnswer(Answer):
    """One recut; null for a size that is not known. `taken_mm` is null where nothing went towards the rework limit."""

    method: str
    before: MeasuredSizeAnswer | None
    after: MeasuredSizeAnswer | None
    taken_mm: Exact | None


class RemainingAnswer(Answer):
    """What is left to the rework limit, mm; negative where it is passed."""

    remaining_mm: Exact
    expanded_uncertainty_mm: Exact


class RecutsLikelyAnswer(Answer):
    """So many more recuts fit with 90, 50 and 10 %; with `at_least` the last stands for more. No promise."""

    careful: int
    even: int
    hopeful: int
    at_least: bool


class SeatAnswer(Answer):
    """One seat. `likely` is null where no forecast can be made; `cuts` is how many recuts of the type are on record."""

    characteristic: str
    part: str
    title: str
    rework_limit_mm: Exact
    limit_side: LimitSide
    recuts: list[RecutAnswer]
    remaining: RemainingAnswer | None
    cuts: int
    likely: RecutsLikelyAnswer | None
    sentence: str
    warning: str


class SeatAnswers(Answer):
    """Every size of the sheet with a rework limit, in examination order."""

    items: list[SeatAnswer]


@router.get("/recuts", operation_id="list_recuts", responses=READS)
def list_recuts(number: InPath, actor: Actor = Caller, shop: Shop = TheShop) -> SeatAnswers:
    """What was taken from each seat, what is left of it, and how many more recuts are likely by the workshop's cuts."""
    loaded = look_at_overhaul(shop, actor, number)
    told = []
    for item in seats_of(loaded.record.sheet):
        renewed_as = renewed_by(loaded.record.sheet, item.part)
        metal = seat_metal((entry.content for entry in loaded.record.entries), item, renewed_as)
        cuts = cuts_on_type(shop.store, loaded.row.id or 0, item, renewed_as)
        told.append(_seat(recut_outlook(metal, cuts), len(cuts)))
    return SeatAnswers(items=told)


def _seat(outlook: RecutOutlook, cuts: int) -> SeatAnswer:
    metal, likely = outlook.metal, outlook.forecast
    return SeatAnswer(
        characteristic=metal.characteristic,
        part=metal.part,
        title=metal.title,
        rework_limit_mm=metal.limit_mm,
        limit_side=metal.side,
        recuts=[_recut(recut, metal) for recut in metal.recuts],
        remaining=None if metal.remaining is None else RemainingAnswer.model_validate(metal.remaining),
        cuts=cuts,
        likely=_likely(likely) if isinstance(likely, RecutsLikely) else None,
        sentence=" ".join(filter(None, (outlook.remaining_words, outlook.forecast_words))),
        warning=outlook.warning,
    )


def _recut(recut: SeatRecut, metal: SeatMetal) -> RecutAnswer:
    return RecutAnswer(
        method=recut.method,
        before=None if recut.before is None else MeasuredSizeAnswer.model_validate(recut.before),
        after=None if recut.after is None else MeasuredSizeAnswer.model_validate(recut.after),
        taken_mm=recut.depth_mm(metal.side),
    )


def _likely(found: RecutsLikely) -> RecutsLikelyAnswer:
    return RecutsLikelyAnswer(careful=found.careful, even=found.even, hopeful=found.hopeful, at_least=found.capped)
