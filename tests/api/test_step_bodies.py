"""A bench step as a client sends it: null says that nobody can tell, volumes come in ml whatever unit was written."""

from typing import Any

import pytest
from pydantic import TypeAdapter, ValidationError

from service.api.overhauls.step_bodies import AnyStepBody
from service.workshop import step_results as kept
from service.workshop.step_results import StepResult
from tests.small_sheet import D

BODIES: TypeAdapter[Any] = TypeAdapter(AnyStepBody)
HELD = {"pressure_bar": "300", "held_s": 10}


@pytest.mark.parametrize(
    ("body", "result"),
    [
        ({"kind": "vent", "air_free": None}, kept.VentResult(air_free=None)),
        ({"kind": "flush", "flushed_s": 60, "clean": None}, kept.FlushResult(flushed_s=60, clean=None)),
        (
            {"kind": "seat-tightness", **HELD, "dry": False, "leaks": ["tip"]},
            kept.SeatTightnessResult(pressure_bar=D(300), held_s=10, dry=False, leaks=("tip",)),
        ),
        ({"kind": "emission", "spraying": [2, 1], "unclear": [3]}, kept.EmissionResult(spraying=(1, 2), unclear=(3,))),
        ({"kind": "quick-drop", "seen": None}, kept.QuickDropResult(seen=None)),
        (
            {"kind": "external-tightness", **HELD, "leaks": [], "unclear": True},
            kept.ExternalTightnessResult(pressure_bar=D(300), held_s=10, leaks=(), unclear=True),
        ),
        (  # as on the pages, finer than a thousandth of a bar is rounded off: no dial shows it
            {"kind": "opening-pressure", "strokes_bar": ["5000 psi", "350,05", 351]},
            kept.OpeningPressureResult(strokes_bar=(D("344.738"), D("350.05"), D(351))),
        ),
        (
            {
                "kind": "back-leakage",
                "pressure_bar": "20 MPa",
                "measured_s": 60,
                "volume_ml": "6,5 cm³",
                "cylinder": "CYL-1",
            },
            kept.BackLeakageResult(pressure_bar=D(200), measured_s=60, volume_ml=D("6.5")),
        ),
    ],
)
def test_what_nobody_can_tell_is_a_null_or_named(body: dict[str, Any], result: StepResult) -> None:
    assert BODIES.validate_python(body).result() == result


@pytest.mark.parametrize("body", [{"kind": "vent"}, {"kind": "quick-drop"}, {"kind": "flush", "flushed_s": 60}])
def test_an_answer_left_out_is_not_cannot_tell(body: dict[str, Any]) -> None:
    with pytest.raises(ValidationError):
        BODIES.validate_python(body)
