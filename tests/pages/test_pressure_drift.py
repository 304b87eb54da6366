"""The opening pressure over the overhauls of one injector, on its own page."""

import itertools
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from datetime import date

from service.actions.bench_testing import record_bench_step, start_bench_run
from service.actions.course import return_unrepaired
from service.actions.receiving import InjectorReceived, receive_consignment
from service.actions.sheets import approve_draft, open_draft, save_draft
from service.actions.shop import Shop
from service.workshop.vocabulary import Fuel, Packing, RunPurpose, SendReason
from tests.pages.at_the_bench import Injector
from tests.pages.forms_on_page import Visitor, words_of
from tests.pages.pressure_sheet import strokes
from tests.registered_fleet import PASSWORD, Fleet
from tests.small_findings import PASSING
from tests.small_sheet import SMALL_SHEET, TYPE_CODE

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
    assert "The limit sheet states no hours, so the next overhaul is taken for due after 7 400 h" in words
    assert "It is then expected to open at 344.6 bar, with 95 % between" in words
    assert "It is expected to leave the band, 345 to 360 bar, after about 7 000 h." in words
    assert "343 bar −8 bar 352 bar" in words.replace("−8.0", "−8")
    (svg,) = re.findall(r"<svg[^>]*aria-labelledby=\"drift-title.*?</svg>", page.text, re.DOTALL)
    drawn = ET.fromstring(svg)
    assert len(drawn.findall("{*}circle")) == 5
    assert len(drawn.findall("{*}rect")) == 5
    assert [one.text for one in drawn.findall("{*}text")].count("band") == 2
    _hours_stated_by_the_sheet(shop, fleet, office)


def _hours_stated_by_the_sheet(shop: Shop, fleet: Fleet, office: Visitor) -> None:
    open_draft(shop, fleet.manager, type_code=TYPE_CODE)
    save_draft(shop, fleet.manager, replace(SMALL_SHEET, overhaul_hours=4500), version=1)
    approve_draft(shop, fleet.manager, type_code=TYPE_CODE, version=2)
    words = words_of(office.get("/units/SN-77"))
    assert "The next overhaul is due after 4 500 h, as the limit sheet states. It is then expected" in words
    assert "That lies inside the band, 345 to 360 bar." in words
    signed_in = office.client.post("/api/v1/sessions", json={"login": "office", "password": PASSWORD}).json()
    asked = {"Authorization": f"Bearer {signed_in['token']}"}
    (unit,) = office.client.get("/api/v1/opening-pressures/SN-77", headers=asked).json()["items"]
    assert (unit["drift"]["hours"], unit["drift"]["hours_by"], unit["drift"]["periods"]) == (4500, "limit-sheet", 4)
    assert (unit["expected"]["outlook"], unit["expected"]["band_lower_bar"]) == ("inside", "345")
    assert unit["expected"]["leaves_after_hours"] is None


def test_two_overhauls_are_shown_and_said_to_be_too_few(shop: Shop, fleet: Fleet, technician: Visitor) -> None:
    _visit(shop, fleet, None, "340", "350")
    assert "Opening pressure over its overhauls" not in words_of(technician.get("/units/SN-77"))
    _visit(shop, fleet, 8000, "342", "352")
    words = words_of(technician.get("/units/SN-77"))
    assert "1 of at least 3 times in service are known with hours, as-left and as-found pressure: too few" in words
    assert "8 000 h 342 bar −8.0 bar 352 bar" in words
    assert "not known 340 bar not known 350 bar" in words
