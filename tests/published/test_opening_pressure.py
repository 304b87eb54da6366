"""Opening pressure and discs against a textbook's springs, Pint, and published factors of pressure."""

import json
from decimal import Decimal as D
from pathlib import Path

import pint
import pytest

from service.hydraulics.opening_geometry import needle_geometry, opening_from_spring, spring_set
from service.metrology.units import convert

pytestmark = pytest.mark.published

HERE = Path(__file__).parent
SPRINGS = json.loads((HERE / "hydraulics" / "spring_examples.json").read_text(encoding="utf-8"))
FACTORS = json.loads((HERE / "units.json").read_text(encoding="utf-8"), parse_float=D)
VALVE = {key: D(value) for key, value in SPRINGS["blow_off_valve"].items() if key not in ("source", "status")}
REGISTRY: "pint.UnitRegistry[float]" = pint.UnitRegistry()
NEAR = D("1e-12")


def _near(found: D, wanted: D) -> bool:
    return abs(found / wanted - 1) < NEAR


def _blow_off_valve(guide: str = "50", seat: str = "0"):  # type: ignore[no-untyped-def]
    return needle_geometry(VALVE["spring_rate_N_per_mm"], D(guide), D(seat))


@pytest.mark.parametrize(("guide", "seat"), [("50", "0"), ("130", "120")])
def test_a_blow_off_valve_opens_where_the_textbook_says(guide: str, seat: str) -> None:
    # Source: spring_examples.json, blow_off_valve. A guide of 130 mm over a seat of 120 mm lifts on the area of
    # 50 mm, since 130² - 120² = 50² (Pythagoras), so the same spring gives the same 1.5 MPa.
    geometry = _blow_off_valve(guide, seat)
    found = opening_from_spring(geometry, VALVE["initial_compression_mm"])
    assert _near(found.opening_bar, convert(VALVE["blow_off_MPa"], "MPa", "bar"))
    assert _near(geometry.force_n(found.opening_bar), VALVE["P1_N"])
    lifted = opening_from_spring(geometry, VALVE["initial_compression_mm"] + VALVE["lift_mm"])
    assert _near(geometry.force_n(lifted.opening_bar), VALVE["P2_N"])


def test_one_millimetre_of_disc_raises_that_valve_by_its_share_of_the_compression() -> None:
    # Source: spring_examples.json, one_millimetre_more (derived: 1.5 MPa over 25 mm).
    assert _near(_blow_off_valve().bar_per_mm, convert(D(SPRINGS["one_millimetre_more"]["dp_MPa"]), "MPa", "bar"))


def test_the_wire_of_the_textbook_gives_the_rate_that_is_used_here() -> None:
    # Source: spring_examples.json, rate_formula with the printed G, C = 6 and N of the same example. The wire before it
    # was rounded up: d is cancelled by D = 6·d but for one power, so the printed 14 mm counts.
    rate = VALVE["G_MPa"] * VALVE["wire_mm"] ** 4 / (8 * VALVE["coil_mm"] ** 3 * VALVE["active_coils"])
    assert _near(rate, VALVE["spring_rate_N_per_mm"])
    assert abs(VALVE["active_coils"] - VALVE["active_coils_printed"]) < D("5e-7")


def test_two_lengths_of_a_spring_give_its_rate_and_its_loss_between_them() -> None:
    # Source: spring_examples.json, two_lengths: 300 N at 30 mm, 150 N at 35 mm, 30 N/mm.
    lengths = SPRINGS["two_lengths"]
    found = spring_set(D(lengths["spring_rate_N_per_mm"]), D(lengths["open_N"]), D(lengths["closed_N"]))
    assert found.set_mm == D(lengths["closed_length_mm"]) - D(lengths["open_length_mm"])
    assert (found.lost_n, found.lost_percent) == (D(150), D(50))


@pytest.mark.parametrize("wanted", ["MPa", "kgf/cm2", "psi"])
@pytest.mark.parametrize(
    ("rate", "guide", "seat", "preload"),
    [("150", "8", "4.5", "7"), ("82.5", "10", "6.2", "12.4"), ("1", "3", "0", "1")],
)
def test_pint_gets_the_same_pressures_from_newtons_and_millimetres(
    rate: str, guide: str, seat: str, preload: str, wanted: str
) -> None:
    # Sources: Pint's registry for N, mm and bar; units.json for the factor to the wanted unit (bar_per).
    found = opening_from_spring(needle_geometry(D(rate), D(guide), D(seat)), D(preload))
    newtons = REGISTRY.Quantity(float(rate), "N/mm") * REGISTRY.Quantity(float(preload), "mm")
    whole = REGISTRY.Quantity(float(guide), "mm") ** 2 * REGISTRY.Quantity(1.0, "pi") / 4
    ring = (REGISTRY.Quantity(float(guide), "mm") ** 2 - REGISTRY.Quantity(float(seat), "mm") ** 2) * (
        REGISTRY.Quantity(1.0, "pi") / 4
    )
    slope = (REGISTRY.Quantity(float(rate), "N/mm") / ring).to("bar/mm").magnitude
    assert float(found.opening_bar) == pytest.approx((newtons / ring).to("bar").magnitude, rel=1e-12)
    assert float(found.closing_bar) == pytest.approx((newtons / whole).to("bar").magnitude, rel=1e-12)
    assert float(found.bar_per_mm) == pytest.approx(slope, rel=1e-12)
    factor = D(str(FACTORS["bar_per"][wanted]))
    in_unit = convert(found.opening_bar, "bar", wanted.replace("cm2", "cm²"))
    assert abs(in_unit * factor / found.opening_bar - 1) < D("1e-14")
