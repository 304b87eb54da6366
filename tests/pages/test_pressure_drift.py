"""The opening pressure over the overhauls of one injector, on its own page."""

import itertools
import re
import xml.etree.ElementTree as ET
from datetime import date

from service.actions.bench_testing import record_bench_step, start_bench_run
from service.actions.course import return_unrepaired
from service.actions.receiving import InjectorReceived, receive_consignment
from service.actions.shop import Shop
from service.workshop.vocabulary import Fuel, Packing, RunPurpose, SendReason
from tests.pages.at_the_bench import Injector
from tests.pages.forms_on_page import Visitor, words_of
from tests.pages.pressure_sheet import strokes
from tests.registered_fleet import Fleet
from tests.small_findings import PASSING

_KEYS = itertools.count(1)


def _visit(shop: Shop, fleet: Fleet, hours: int | None, found: str, left: str) -> None:
    """The same injector once more: as found, rebuilt, as left, sent away."""
    made = receive_consignment(
        shop,
        fleet.technician,
        imo=fleet.imo,
        due_on=date(2026, 3, 20),
        form_key=f"drift-{next(_KEYS):06d}",
        injectors=(
            InjectorReceived(
                serial="SN-77",
                engine_id=fleet.engine_id,
                cylinder=1,
                running_hours=hours,
                fuel=Fuel.RESIDUAL,
                reason=SendReason.PLANNED,
                packing=Packing.SOUND,
            ),
        ),
    )
    injector = Injector(shop, fleet.technician, made.overhauls[0])
    run = start_bench_run(
        shop, fleet.technician, injector.number, injector.form(), purpose=RunPurpose.AS_FOUND, gauge="GAUGE-1"
    ).seq
    for key in ("vent", "blow", "seat", "opening"):
        result = strokes(found) if key == "opening" else PASSING[key]
        record_bench_step(shop, fleet.technician, injector.number, injector.form(), run=run, step=key, result=result)
    injector.rebuilt()
    injector.tested(opening=strokes(left))
    return_unrepaired(shop, fleet.manager, injector.number, injector.form(), reason="Sent on.")


def test_four_times_in_service_give_a_line_and_what_to_expect_next(shop: Shop, fleet: Fleet, office: Visitor) -> None:
    for hours, found, left in (
        (9000, "340", "350"),
        (8000, "342", "352"),
        (8000, "344", "350"),
        (4000, "346", "351"),
        (8000, "343", "352"),
    ):
        _visit(shop, fleet, hours, found, left)
    page = office.get("/units/SN-77")
    words = words_of(page)
    assert "−1.0 bar in 1000 h, by a line through 4 times in service" in words
    assert "At the next overhaul after the usual 7,400 h it is expected to open at 345 bar, with 95 % between" in words
    assert "343 bar −8 bar 352 bar" in words.replace("−8.0", "−8")
    (svg,) = re.findall(r"<svg[^>]*aria-labelledby=\"drift-title.*?</svg>", page.text, re.DOTALL)
    drawn = ET.fromstring(svg)
    assert len(drawn.findall("{*}circle")) == 5
    assert len(drawn.findall("{*}rect")) == 5


def test_two_overhauls_are_shown_and_said_to_be_too_few(shop: Shop, fleet: Fleet, technician: Visitor) -> None:
    _visit(shop, fleet, None, "340", "350")
    assert "Opening pressure over its overhauls" not in words_of(technician.get("/units/SN-77"))
    _visit(shop, fleet, 8000, "342", "352")
    words = words_of(technician.get("/units/SN-77"))
    assert "1 of at least 3 times in service are known with hours, as-left and as-found pressure: too few" in words
    assert "8,000 h 342 bar −8.0 bar 352 bar" in words
    assert "not known 340 bar not known 350 bar" in words
