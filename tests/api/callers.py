"""Somebody at the API, and an injector's way as JSON. Every figure is invented and belongs to the small sheet."""

import itertools
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import httpx

if TYPE_CHECKING:
    from starlette.testclient import TestClient

_KEYS = itertools.count(1)
Json = dict[str, Any]


def form_key() -> str:
    """A key that no other form of this test run has."""
    return f"form-{next(_KEYS):06d}"


@dataclass
class Person:
    """Somebody signed in."""

    client: "TestClient"
    token: str
    name: str

    @property
    def headers(self) -> dict[str, str]:
        """The bearer header."""
        return {"Authorization": f"Bearer {self.token}"}

    def get(self, path: str, **params: Any) -> httpx.Response:
        """Read."""
        return self.client.get(f"/api/v1{path}", headers=self.headers, params=params)

    def post(self, path: str, body: Json) -> httpx.Response:
        """Record."""
        return self.client.post(f"/api/v1{path}", headers=self.headers, json=body)

    def put(self, path: str, body: Json) -> httpx.Response:
        """Change."""
        return self.client.put(f"/api/v1{path}", headers=self.headers, json=body)

    def text(self, method: str, path: str, body: str | bytes) -> httpx.Response:
        """Send a body as it is."""
        headers = {**self.headers, "Content-Type": "application/json"}
        return self.client.request(method, f"/api/v1{path}", headers=headers, content=body)


@dataclass
class Injector:
    """One overhaul; each noun carries a new form key and what was last seen."""

    number: str

    def look(self, person: Person) -> Json:
        """Where it stands."""
        answer = person.get(f"/overhauls/{self.number}")
        assert answer.status_code == 200, answer.text
        return answer.json()

    def body(self, person: Person, **fields: Any) -> Json:
        """A form that has seen everything."""
        return {"form_key": form_key(), "seen": self.look(person)["seen"], **fields}

    def send(self, person: Person, noun: str, **fields: Any) -> httpx.Response:
        """Record, whatever comes of it."""
        return person.post(f"/overhauls/{self.number}/{noun}", self.body(person, **fields))

    def record(self, person: Person, noun: str, **fields: Any) -> Json:
        """Record, and it must be taken."""
        answer = self.send(person, noun, **fields)
        assert answer.status_code == 201, answer.text
        return answer.json()

    def blockers(self, person: Person) -> set[str]:
        """Codes of what blocks the release."""
        return {blocker["code"] for blocker in self.look(person)["blockers"]}

    def strip(self, person: Person) -> None:
        """Every part out freely."""
        parts = [{"part": part, "state": "free"} for part in ("body", "nozzle", "needle", "spring")]
        self.record(person, "strip-records", parts=parts, seals_discarded=True)

    def examine(self, person: Person, **instead: Json) -> dict[str, Json]:
        """Every characteristic in the sheet's order, with other findings where given; gives the verdicts."""
        verdicts = {}
        for item in self.look(person)["characteristics"]:
            key = item["key"]
            answer = self.record(person, "examinations", characteristic=key, **instead.get(key, SOUND[key]))
            verdicts[key] = answer["verdict"]
        return verdicts

    def rebuild(self, person: Person) -> None:
        """Fit what is to be fitted, then tighten."""
        while open_tasks := [task for task in self.look(person)["tasks"] if not task["done"]]:
            task = open_tasks[0]
            if task["kind"] == "fit":
                self.record(person, "fittings", item=task["key"], batch=f"BATCH-{task['key']}")
            else:
                assert task["kind"] == "torque", task
                self.record(person, "torques", point=task["key"], value=100, wrench="WRENCH-1")

    def prove(self, person: Person, **instead: Json) -> int:
        """The whole test plan; gives the run's number."""
        run = self.record(person, "bench-runs", purpose="proving", gauge="GAUGE-1")["seq"]
        for step, result in (PASSING | instead).items():
            answer = self.record(person, f"bench-runs/{run}/steps/{step}", result=result)
            if not answer["outcome"]["passed"]:
                break
        return int(run)


def pins(*entering: int, holes: int = 4) -> Json:
    """The sheet's three pins in every hole; the reject pin enters the holes given."""
    passes = [
        {"hole": hole, "pin": pin, "enters": pin != "0.88" or hole in entering}
        for hole in range(1, holes + 1)
        for pin in ("0.84", "0.85", "0.88")
    ]
    return {"kind": "gauge-pins", "passes": passes, "instrument": "PINS-1"}


SOUND: dict[str, Json] = {
    "body-cracks": {"kind": "visual", "findings": ["none"]},
    "body-seat-width": {"kind": "size", "readings": [1.1], "instrument": "MIC-1"},
    "body-pin": {"kind": "yes-no", "answer": True},
    "nozzle-holes": pins(),
    "nozzle-ovality": {"kind": "ovality", "diameters": [[0.861, "0.862"]] * 4, "instrument": "BORE-1"},
    "nozzle-tip": {"kind": "visual", "findings": ["clean"]},
    "needle-seat": {"kind": "visual", "findings": ["even"], "magnification": 10, "instrument": "SCOPE-1"},
    "needle-guide": {"kind": "size", "readings": ["5,996", 5.996], "instrument": "MIC-1"},
    "spring-length": {"kind": "size", "readings": ["60.1 mm"], "instrument": "HEIGHT-1"},
    "spring-rate": {"kind": "size", "readings": [100], "instrument": "RATE-1"},
}
PASSING: dict[str, Json] = {
    "vent": {"kind": "vent", "air_free": True},
    "blow": {"kind": "strokes", "strokes": 6},
    "seat": {"kind": "seat-tightness", "pressure_bar": 300, "held_s": 10, "dry": True},
    "opening": {"kind": "opening-pressure", "strokes_bar": [350, "35 MPa", "351.0"]},
    "emission": {"kind": "emission", "spraying": [1, 2, 3, 4]},
    "drop": {"kind": "quick-drop", "seen": True},
    "external": {"kind": "external-tightness", "pressure_bar": 100, "held_s": 30, "leaks": []},
}


def crate(imo: str, engine_id: int, *serials: str) -> Json:
    """A consignment of injectors from one vessel."""
    injectors = [
        {
            "serial": serial,
            "engine_id": engine_id,
            "cylinder": place,
            "running_hours": 8000,
            "fuel": "residual",
            "reason": "planned",
            "packing": "sound",
        }
        for place, serial in enumerate(serials, start=1)
    ]
    return {"form_key": form_key(), "imo_number": imo, "due_on": "2026-03-20", "injectors": injectors}


def received(person: Person, imo: str, engine_id: int, *serials: str) -> list[Injector]:
    """The consignment received."""
    answer = person.post("/consignments", crate(imo, engine_id, *serials))
    assert answer.status_code == 201, answer.text
    return [Injector(number) for number in answer.json()["overhauls"]]
