"""From the ship's crate to a released certificate through JSON, with the stops of the trade on the way.

Common practice, no source: the reject pin in any one hole rejects the nozzle; an indentation on an internal seat means
a new matched assembly, never lapping; any adjustment voids every earlier test; all seals are renewed.
"""

import io
from collections.abc import Callable

from pypdf import PdfReader

from tests.api.callers import PASSING, Injector, Person, crate, pins, received
from tests.registered_fleet import PASSWORD, Fleet


def test_an_injector_goes_from_the_crate_to_its_certificate(sign_in: Callable[[str], Person], fleet: Fleet) -> None:
    technician, manager, office = sign_in("tech"), sign_in("manager"), sign_in("office")
    first, second = received(technician, fleet.imo, fleet.engine_id, "SN-77", "SN-78")
    _open_serial_is_refused_with_its_overhaul(technician, fleet, first)
    first.strip(technician)
    verdicts = first.examine(technician, **{"nozzle-holes": pins(3), "needle-seat": _indentation()})
    assert verdicts["nozzle-holes"]["verdict"] == "does-not-conform"
    assert verdicts["nozzle-holes"]["failed_holes"] == [3]
    assert "0.88 mm reject pin enters hole 3" in verdicts["nozzle-holes"]["sentence"]
    assert verdicts["spring-rate"]["verdict"] == "conforms"
    _the_seat_is_never_lapped(technician, first)
    first.record(technician, "settlements/as-proposed")
    _the_office_agrees(technician, office, first)
    first.rebuild(technician)
    _a_shim_voids_the_pass(technician, manager, first)
    signed = _signed(manager, first)
    _the_certificate_tells_it_all(office, signed["certificate"])
    unit = office.get("/units/SN-77").json()["items"][0]
    assert unit["overhauls"][0]["stage"] == "released"
    assert unit["overhauls"][0]["certificate"] == signed["certificate"]
    assert second.look(office)["stage"] == "received"
    check = office.client.get("/api/v1/certificates/check/" + signed["check_url"].rpartition("/")[2])
    assert (check.status_code, check.json()["number"]) == (200, signed["certificate"])
    assert (check.json()["superseded"], check.json()["condemned"]) == (False, False)


def _open_serial_is_refused_with_its_overhaul(technician: Person, fleet: Fleet, first: Injector) -> None:
    again = technician.post("/consignments", crate(fleet.imo, fleet.engine_id, "SN-99", "SN-77"))
    assert (again.status_code, again.json()["code"], again.json()["field"]) == (
        422,
        "open-already",
        "injectors.1.serial",
    )
    assert first.number in again.json()["detail"]
    assert technician.get("/units/SN-99").status_code == 404, "nothing of a refused consignment is stored"


def _indentation() -> dict[str, object]:
    return {"kind": "visual", "findings": ["indentation"], "magnification": "8", "instrument": "SCOPE-1"}


def _the_seat_is_never_lapped(technician: Person, injector: Injector) -> None:
    needle = next(part for part in injector.look(technician)["parts"] if part["part"] == "needle")
    assert needle["proposed"] == "replace-assembly"
    assert "rework" not in needle["choices"]
    refused = injector.send(technician, "settlements", part="needle", chosen="rework", reason="lap it")
    assert (refused.status_code, refused.json()["code"]) == (422, "forbidden")
    assert "never lapped" in refused.json()["detail"]


def _the_office_agrees(technician: Person, office: Person, injector: Injector) -> None:
    looked = injector.look(office)
    assert looked["stage"] == "examined"
    lines = [line["part"] for line in looked["agreement"]]
    assert lines == ["nozzle", "needle"]
    for part in lines:
        assert injector.send(technician, "answers", part=part, accepted=True).status_code == 403
        injector.record(office, "answers", part=part, accepted=True, note="Go ahead")
    assert injector.look(office)["stage"] == "agreed"


def _a_shim_voids_the_pass(technician: Person, manager: Person, injector: Injector) -> None:
    run = injector.prove(technician)
    assert injector.look(technician)["stage"] == "proved"
    answer = injector.record(technician, "disc-changes", added=["0,05"], reason="A little higher")
    assert answer["stage"] != "proved"
    assert {"run-void", "rebuild-torque"} <= injector.blockers(technician)
    voided = next(one for one in injector.look(technician)["bench_runs"] if one["run"] == run)
    assert voided["void_reason"] == "Adjusting discs were changed afterwards: A little higher."
    assert not voided["passed"]
    blocked = injector.send(manager, "release", password=PASSWORD)
    assert blocked.status_code == 422
    injector.rebuild(technician)
    injector.prove(technician, opening={**PASSING["opening"], "strokes_bar": ["355", "356", "355.5"]})


def _signed(manager: Person, injector: Injector) -> dict[str, str]:
    assert injector.blockers(manager) == set()
    answer = injector.record(manager, "release", password=PASSWORD)
    assert answer["stage"] == "released"
    return answer


def _the_certificate_tells_it_all(office: Person, number: str) -> None:
    pdf = office.get(f"/certificates/{number}/pdf")
    assert pdf.headers["content-type"] == "application/pdf"
    text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf.content)).pages)
    text = " ".join(text.replace("\u00ad", "").split())
    for wanted in (
        number,
        "SN-77",
        "Invented Star",
        "9000003",
        "Mara Manager",
        "Indentation at 8×",
        "Internal seat of the needle",
        "5.996",
        "95 to 105 N/mm",
        "BATCH-nozzle-set",
        "BATCH-seal-ring",
        "355.5 bar",
        "WRENCH-1",
    ):
        assert wanted in text, f"{wanted} is missing in: {text}"
    assert "350.3" not in text, "a void run is not what the certificate reports"


def test_an_injector_with_nothing_wrong_needs_nobody_but_technician_and_manager(
    proved: Injector, manager: Person, office: Person
) -> None:
    signed = _signed(manager, proved)
    seen = office.get(f"/certificates/{signed['certificate']}").json()
    assert (seen["serial"], seen["signed_by"]) == ("SN-1001", "Mara Manager")
    assert proved.look(office)["certificate"] == signed["certificate"]


def test_a_rework_is_measured_again_before_anything_goes_on(
    injector: Injector, technician: Person, manager: Person
) -> None:
    injector.strip(technician)
    injector.examine(
        technician, **{"body-seat-width": {"kind": "size", "readings": ["1400 µm"], "instrument": "MIC-1"}}
    )
    injector.record(technician, "settlements/as-proposed")
    assert "rebuild-rework" in injector.blockers(technician), "rework is in this owner's standing order"
    injector.record(technician, "reworks", part="body", method="Ground 0.3 mm")
    again = {"characteristic": "body-seat-width", "phase": "after-rework", "kind": "size", "instrument": "MIC-1"}
    poor = injector.record(technician, "examinations", **again, readings=["1.2005"])
    assert poor["verdict"]["verdict"] == "not-proven"
    assert "rebuild-recheck" in injector.blockers(technician)
    good = injector.record(technician, "examinations", **again, readings=["1.05"])
    assert good["verdict"]["verdict"] == "conforms"
    injector.rebuild(technician)
    injector.prove(technician)
    assert _signed(manager, injector)["certificate"].startswith("RC-2026-")


def test_a_milder_choice_waits_for_the_managers_concession(
    injector: Injector, technician: Person, manager: Person
) -> None:
    injector.strip(technician)
    injector.examine(technician, **{"spring-rate": {"kind": "size", "readings": [94], "instrument": "RATE-1"}})
    unsaid = injector.send(technician, "settlements", part="spring", chosen="keep")
    assert (unsaid.status_code, unsaid.json()["code"], unsaid.json()["field"]) == (422, "reason-missing", "reason")
    injector.record(technician, "settlements", part="spring", chosen="keep", reason="No spring in stock")
    assert "no-concession" in injector.blockers(manager)
    injector.record(manager, "concessions", part="spring", granted=True, reason="One voyage only", password=PASSWORD)
    spring = next(part for part in injector.look(manager)["parts"] if part["part"] == "spring")
    assert (spring["settled"], spring["concession"]) == ("keep", True)
