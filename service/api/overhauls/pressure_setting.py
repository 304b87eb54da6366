"""The discs that are proposed for an opening pressure that is off."""

from decimal import Decimal
from typing import Annotated, Literal

from fastapi import APIRouter, Query

from service.actions.setting_pressure import look_at_pressure_setting
from service.actions.shop import Actor, Shop
from service.api.bodies import Answer, Exact, InPath
from service.api.description import READS
from service.api.exact_json import ExactRoute
from service.api.guards import AtBench, TheShop
from service.hydraulics.disc_advice import AdviceKind
from service.metrology.units import parse_quantity
from service.workshop.pressure_setting import PressureSetting

router = APIRouter(prefix="/overhauls/{number}", tags=["overhauls"], route_class=ExactRoute)


class ProposedSetAnswer(Answer):
    """One set of discs, mm, and the pressure that is expected then."""

    added_mm: list[Exact]
    removed_mm: list[Exact]
    expected_bar: Exact


class SlopeAnswer(Answer):
    """What one millimetre of disc changes, from where, and why that one; the interval only of own adjustments."""

    bar_per_mm: Exact
    source: Literal["geometry", "own-adjustments"]
    why: str
    lower_bar_per_mm: Exact | None
    upper_bar_per_mm: Exact | None


class SpringSetAnswer(Answer):
    """What the spring has lost against one that gives the set pressure without added discs."""

    lost_n: Exact
    lost_percent: Exact
    set_mm: Exact


class ProposalAnswer(Answer):
    """The proposal: pressures in bar, every set with the fewest discs, what else is known of the spring."""

    run: int
    now_bar: Exact
    lower_bar: Exact
    target_bar: Exact
    upper_bar: Exact
    fitted_mm: list[Exact]
    slope: SlopeAnswer | None
    sets: list[ProposedSetAnswer]
    advice: AdviceKind | None
    sentence: str
    closing_bar: Exact | None
    spring: SpringSetAnswer | None


class PressureSettingAnswer(Answer):
    """`proposal` is null while no opening pressure is off."""

    proposal: ProposalAnswer | None


@router.get("/pressure-setting", operation_id="read_pressure_setting", responses=READS)
def read_pressure_setting(
    number: InPath,
    absent: Annotated[
        list[str], Query(max_length=40, description="Thicknesses of the limit sheet that have run out, mm.")
    ] = [],  # noqa: B006 - FastAPI copies it
    actor: Actor = AtBench,
    shop: Shop = TheShop,
) -> PressureSettingAnswer:
    """Which discs bring the newest opening pressure into its band, by which slope, and why."""
    absent_mm = [parse_quantity(disc, "mm", "absent") for disc in absent]
    found = look_at_pressure_setting(shop, actor, number, absent_mm)
    return PressureSettingAnswer(proposal=None if found is None else _proposal(found))


def _proposal(found: PressureSetting) -> ProposalAnswer:
    slope, spring, advice = found.slope, found.spring, found.advice
    return ProposalAnswer(
        run=found.off.run,
        now_bar=found.off.mean_bar,
        lower_bar=found.band.lower_bar,
        target_bar=found.band.target_bar,
        upper_bar=found.band.upper_bar,
        fitted_mm=_mm(found.fitted_um),
        slope=None if slope is None else SlopeAnswer.model_validate(slope),
        sets=[
            ProposedSetAnswer(added_mm=_mm(one.added_um), removed_mm=_mm(one.removed_um), expected_bar=one.expected_bar)
            for one in found.sets
        ],
        advice=None if advice is None else advice.kind,
        sentence="" if advice is None else advice.sentence,
        closing_bar=found.closing_bar,
        spring=None if spring is None else SpringSetAnswer.model_validate(spring),
    )


def _mm(discs_um: tuple[int, ...]) -> list[Decimal]:
    return [Decimal(um) / 1000 for um in discs_um]
