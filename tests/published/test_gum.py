"""Uncertainty against the GUM (JCGM 100:2008); sources and status in `gum_examples.json` and `t_factors.csv`."""

import csv
import json
import math
from pathlib import Path
from typing import Any

import pytest

from service.metrology.contributions import INFINITE, Contribution, Distribution, from_half_width
from service.metrology.coverage import TWO_SIGMA, coverage_factor, coverage_from_percent
from service.metrology.length_reading import Temperatures, temperature_contributions
from service.metrology.uncertainty_budget import Correlation, ExpandedUncertainty, expand

pytestmark = pytest.mark.published

HERE = Path(__file__).parent
EXAMPLES: dict[str, dict[str, Any]] = {
    item["id"]: item for item in json.loads((HERE / "gum_examples.json").read_text(encoding="utf-8"))
}
# The table prints 1.70 for ν = 35 at 90 %; the quantile is 1.6896, so it should print 1.69.
MISPRINT = ("35", "90")
LINES = [line for line in (HERE / "t_factors.csv").read_text(encoding="utf-8").splitlines() if line[0] != "#"]
T_TABLE = [
    (float(row["dof"]), float(percent), printed)
    for row in csv.DictReader(LINES)
    for percent, printed in row.items()
    if percent != "dof" and (row["dof"], percent) != MISPRINT
]


@pytest.mark.parametrize(("freedom", "percent", "printed"), T_TABLE)
def test_every_coverage_factor_of_table_g2_is_found(freedom: float, percent: float, printed: str) -> None:
    # JCGM 100:2008 Table G.2 = NIST TN 1297 Table B.1; half a unit of the last printed digit. The columns at
    # 68.27 % and 99.73 % are ±1 and ±3 standard deviations, so their coverage is not quite what is printed.
    coverage = {68.27: math.erf(math.sqrt(0.5)), 99.73: math.erf(3 / math.sqrt(2))}.get(
        percent, coverage_from_percent(percent)
    )
    half_a_digit = 0.5 * 10 ** -len(printed.split(".")[1])
    assert coverage_factor(freedom, coverage) == pytest.approx(float(printed), abs=half_a_digit + 1e-4)


@pytest.mark.parametrize("freedom", [1, 1.5, 2, 7.3, 16.75, 30, 1e4, 1e9])
@pytest.mark.parametrize("coverage", [0.5, 0.9, 0.95, TWO_SIGMA, 0.99, 0.9999])
def test_the_coverage_factor_is_the_quantile_of_scipys_t_distribution(freedom: float, coverage: float) -> None:
    # SciPy's distribution as an independent reference: stats.t inverts by another route than we ask.
    from scipy import stats

    k = coverage_factor(freedom, coverage)
    assert stats.t.cdf(k, freedom) - stats.t.cdf(-k, freedom) == pytest.approx(coverage, rel=1e-9)


def test_the_usual_coverage_ends_at_exactly_two() -> None:
    assert coverage_factor(INFINITE) == 2.0
    assert coverage_factor(INFINITE, coverage_from_percent(95.45)) == 2.0


def end_gauge(coverage: float) -> ExpandedUncertainty:
    """GUM H.1 in nm: l = l_s + d − l_s·(δα·θ + α_s·δθ)."""
    given = EXAMPLES["GUM_H1"]["inputs"]
    size = given["ls_nm"]
    comparison = [
        Contribution(f"difference {number}", 0.0, u, 1.0, freedom)
        for number, (u, freedom) in enumerate(given["u_d_components"])
    ]
    return expand(
        [
            Contribution("standard", size, given["u_ls"], 1.0, given["nu_ls"]),
            *comparison,
            from_half_width(
                "expansion",
                given["dalpha_halfwidth_uniform"],
                Distribution.RECTANGULAR,
                sensitivity=-size * given["theta"],
                degrees_of_freedom=given["nu_dalpha"],
            ),
            from_half_width(
                "temperature",
                given["dtheta_halfwidth_uniform"],
                Distribution.RECTANGULAR,
                sensitivity=-size * given["alpha_s"],
                degrees_of_freedom=given["nu_dtheta"],
            ),
        ],
        coverage,
    )


def test_the_end_gauge_of_gum_h1_has_32_nm_and_16_degrees_of_freedom() -> None:
    published = EXAMPLES["GUM_H1"]["published"]
    found = end_gauge(0.99)
    assert round(found.combined) == published["uc_nm"]
    assert found.combined == pytest.approx(published["uc_exact_nm"], rel=1e-5)
    assert found.effective_dof == pytest.approx(published["nu_eff_exact"], abs=5e-4)
    # From memory of the GUM: ν_eff 16 after truncation, t99(16) = 2.92.
    assert math.floor(found.effective_dof) == EXAMPLES["GUM_H1"]["from_memory"]["nu_eff"]
    assert round(coverage_factor(16, 0.99), 2) == EXAMPLES["GUM_H1"]["from_memory"]["t99"]
    # G.4.1 note 1 allows interpolation as well, which is what we do: between t(16) and t(17), so U is 92 or 93.
    assert coverage_factor(17, 0.99) < found.k < coverage_factor(16, 0.99)
    assert found.expanded == pytest.approx(EXAMPLES["GUM_H1"]["from_memory"]["U99_nm"], abs=1.5)


def test_each_line_of_gum_h1_weighs_what_is_published() -> None:
    budget = EXAMPLES["GUM_H1"]["published"]["budget_nm"]
    effects = {line.contribution.name: line.effect for line in end_gauge(0.95).lines}
    names = {"ls": "standard", "dtheta": "temperature", "dalpha": "expansion"}
    names |= {f"d{number}": f"difference {number}" for number in range(3)}
    assert {key: effects[name] for key, name in names.items()} == pytest.approx(budget, rel=1e-4)
    assert math.fsum(line.share for line in end_gauge(0.95).lines) == pytest.approx(1.0)


def test_our_temperature_lines_give_gum_h1_and_its_second_order_34_nm() -> None:
    # The block is the part, the standard is the instrument; u(δα) is carried by the part's coefficient alone,
    # and the rectangle of the temperature is scaled to u(θ) = 0.41 °C.
    given, published = EXAMPLES["GUM_H1"]["inputs"], EXAMPLES["GUM_H1"]["published"]
    lines = temperature_contributions(
        given["ls_nm"],
        Temperatures(
            part_c=20.0 + given["theta"],
            part_half_width_k=published["u_theta"] * math.sqrt(3),
            instrument_less_part_k=given["dtheta"],
            difference_half_width_k=given["dtheta_halfwidth_uniform"],
            part_expansion_per_k=given["alpha_s"],
            part_expansion_half_width_per_k=given["dalpha_halfwidth_uniform"],
            instrument_expansion_per_k=given["alpha_s"],
            instrument_expansion_half_width_per_k=0.0,
        ),
    )
    effects = {line.name: abs(line.effect) for line in lines}
    assert effects["Temperature of the part"] == 0.0
    assert effects["Temperature between instrument and part"] == pytest.approx(
        published["budget_nm"]["dtheta"], rel=1e-4
    )
    assert effects["Expansion of the part"] == pytest.approx(published["budget_nm"]["dalpha"], rel=1e-4)
    first_order = expand([Contribution("others", 0.0, math.hypot(25, published["u_d_nm"])), *lines[:-1]])
    with_products = expand([Contribution("others", 0.0, math.hypot(25, published["u_d_nm"])), *lines])
    assert round(first_order.combined) == published["uc_nm"]
    assert round(with_products.combined) == published["second_order_uc_nm"]


def test_the_correlated_impedance_of_gum_h2_is_found() -> None:
    given, published = EXAMPLES["GUM_H2"]["inputs"], EXAMPLES["GUM_H2"]["published"]
    (volt, u_volt), (amp, u_amp), (phase, u_phase) = given["V"], given["I"], given["phi"]
    correlations = [
        Correlation("V", "I", given["r(V,I)"]),
        Correlation("V", "phi", given["r(V,phi)"]),
        Correlation("I", "phi", given["r(I,phi)"]),
    ]
    in_phase, across, whole = volt * math.cos(phase) / amp, volt * math.sin(phase) / amp, volt / amp
    for name, value, sensitivities in (
        ("R", in_phase, (in_phase / volt, -in_phase / amp, -across)),
        ("X", across, (across / volt, -across / amp, in_phase)),
        ("Z", whole, (whole / volt, -whole / amp, 0.0)),
    ):
        inputs = zip(("V", "I", "phi"), (volt, amp, phase), (u_volt, u_amp, u_phase), sensitivities, strict=True)
        found = expand([Contribution(*one) for one in inputs], correlations=correlations)
        assert value == pytest.approx(published[name][0], rel=2e-5)  # printed to five digits
        assert found.combined == pytest.approx(published[name][1], rel=1e-9)
        assert found.k == 2.0


def test_the_thermometer_correction_of_gum_h3_is_found_with_and_without_correlation() -> None:
    item = EXAMPLES["GUM_H3"]
    published = item["published"]
    away = 30.0 - item["t0"]
    correlated = expand(
        [
            Contribution("intercept", published["intercept"][0], published["intercept"][1]),
            Contribution("slope", published["slope"][0], published["slope"][1], away),
        ],
        correlations=[Correlation("intercept", "slope", published["correlation"])],
    )
    # The printed inputs have two digits, so the sum has its second one within a unit.
    assert correlated.combined == pytest.approx(published["correction_at_30C"][1], abs=1e-4)
    # H.3.5: about the mean temperature the two are uncorrelated, and their degrees of freedom count.
    times, count = item["t_k"], published["n"]
    mean = math.fsum(times) / count
    deviation = math.sqrt(published["ssr"] / (count - 2))
    squares = math.fsum((t - mean) ** 2 for t in times)
    uncorrelated = expand(
        [
            Contribution("mean", 0.0, deviation / math.sqrt(count), 1.0, count - 2),
            Contribution("slope", 0.0, deviation / math.sqrt(squares), 30.0 - mean, count - 2),
        ]
    )
    assert uncorrelated.combined == pytest.approx(item["computed_here"]["b30"][1], rel=1e-9)
    assert round(uncorrelated.combined, 4) == published["correction_at_30C"][1]
    assert count - 2 <= uncorrelated.effective_dof <= 2 * (count - 2)


def test_the_one_cell_left_out_of_table_g2_is_its_misprint() -> None:
    from scipy import stats

    assert round(coverage_factor(35, 0.90), 2) == round(float(stats.t.ppf(0.95, 35)), 2) == 1.69
