"""One test rig: how it stands today, its card, its checks and its fillings of oil."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.shop import Actor
from service.metrology.typed_numbers import plain
from service.pages.guards import AtBench, renderer_of, shop_of
from service.pages.instruments.places import plain_day
from service.pages.on_dial import in_words, least_on_dial, most_on_dial
from service.pages.overhauls.small_forms import Fact
from service.pages.rendering import Frame, minute
from service.pages.test_rigs.check_view import CheckShown, check_shown
from service.pages.test_rigs.places import REGISTER, place_of, row_of
from service.pages.test_rigs.rig_words import (
    CheckButton,
    GaugeShown,
    OilShown,
    Sign,
    check_button,
    gauges_shown,
    oil_in_words,
    oil_shown,
    sign_of,
)
from service.records.instrument_reads import instruments
from service.records.rig_reads import PastFilling, known_rig, past_checks, past_fillings
from service.workshop.test_rig import TestRig
from service.workshop.vocabulary import Role

router = APIRouter(prefix=REGISTER)

MOST_CHECKS, MOST_FILLINGS = 30, 12


@dataclass(frozen=True)
class FillingLine:
    """One filling of oil."""

    changed: str
    oil: str
    bulk_modulus: str
    recorded: str


@dataclass(frozen=True)
class TestRigPage:
    """The page; `today` is the newest check of today, `earlier` are those before it, newest first."""

    __test__ = False  # a page, not a test class

    page: Frame
    code: str
    description: str
    sign: Sign
    today: CheckShown | None
    earlier: tuple[CheckShown, ...]
    most_checks: int
    facts: tuple[Fact, ...]
    gauges: tuple[GaugeShown, ...]
    oil: OilShown
    fillings: tuple[FillingLine, ...]
    check: CheckButton | None
    oil_href: str
    card_href: str


@router.get("/{code:path}")
def show_rig(request: Request, code: str, actor: Actor = AtBench) -> Response:
    """How it stands today first."""
    shop, renderer = shop_of(request), renderer_of(request)
    today = shop.today
    with shop.store.reading() as session:
        row = row_of(session, code)
        known = known_rig(session, row, today)
        checks, fillings = past_checks(session, row, MOST_CHECKS), past_fillings(session, row, MOST_FILLINGS)
    rig, place = known.rig, place_of(known.rig.code)
    shown = tuple(check_shown(one, rig.unit) for one in checks)
    checked = known.check is not None
    context = TestRigPage(
        page=renderer.frame(f"Test rig {rig.code}", actor, REGISTER),
        code=rig.code,
        description=known.description,
        sign=sign_of(rig, known.check),
        today=shown[0] if checked else None,
        earlier=shown[1:] if checked else shown,
        most_checks=MOST_CHECKS,
        facts=_facts(rig),
        gauges=gauges_shown(rig, instruments(shop.store, today)),
        oil=oil_shown(rig, today),
        fillings=tuple(_filling(one) for one in fillings),
        check=check_button(rig, known.check),
        oil_href=f"{place}/oil/new",
        card_href=f"{place}/card" if actor.role is Role.MANAGER else "",
    )
    return renderer.page("test_rigs/rig.html", context)


def _facts(rig: TestRig) -> tuple[Fact, ...]:
    held, lost = least_on_dial("", rig.line.pressure_bar, rig.unit), most_on_dial("", rig.line.drop_max_bar, rig.unit)
    asked = f"holds {in_words(held)} for {rig.line.hold_s} s and loses at most {in_words(lost)}"
    springs = "none"
    if rig.springs is not None:
        one = rig.springs
        springs = f"{one.count}, each {plain(one.lower_n)} to {plain(one.upper_n)} N"
    days = "no interval stated" if rig.oil_days is None else f"every {rig.oil_days} days"
    volume = "not stated" if rig.volume_cm3 is None else f"{plain(rig.volume_cm3)} cm³"
    return (
        Fact("Dial shows", rig.unit),
        Fact("Blanked line", asked),
        Fact("Clamp springs", springs),
        Fact("Oil is changed", days),
        Fact("Volume under pressure", volume),
    )


def _filling(one: PastFilling) -> FillingLine:
    modulus = one.oil.bulk_modulus_gpa
    return FillingLine(
        changed=plain_day(one.oil.changed_on),
        oil=oil_in_words(one.oil),
        bulk_modulus="not stated" if modulus is None else f"{plain(modulus)} GPa",
        recorded=f"{one.person}, {minute(one.recorded_at)}",
    )
