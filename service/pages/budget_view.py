"""What a verdict was judged with, for the screen: the kept budget in words. Nothing is worked out again."""

from dataclasses import dataclass
from decimal import Decimal

from markupsafe import Markup

from service.metrology.contributions import Distribution
from service.metrology.kept_budget import Evaluation, UncertaintyBudget, UncertaintyLine
from service.metrology.typed_numbers import plain
from service.pages.desk_calculators.share_bars import share_bars


@dataclass(frozen=True)
class BudgetLineShown:
    """One contribution: what was stated of it and from where, what it does to the result, and its share."""

    name: str
    source: str
    evaluation: str
    stated: str
    effect: str
    freedom: str
    share: str


@dataclass(frozen=True)
class BudgetShown:
    """The whole budget: U and k, the lines, what is not known, and the shares drawn as bars."""

    u: str
    k: str
    unit: str
    lines: tuple[BudgetLineShown, ...]
    result: str
    remarks: tuple[str, ...]
    drawing: Markup


@dataclass(frozen=True)
class BudgetInBrief:
    """U and k with the share of each contribution, for a list."""

    u: str
    k: str
    shares: tuple[str, ...]
    remarks: tuple[str, ...]


def budget_shown(budget: UncertaintyBudget | None) -> BudgetShown | None:
    """The budget with its drawing, None where nothing was judged with one."""
    if budget is None:
        return None
    freedom = "infinite" if budget.effective_dof is None else _short(budget.effective_dof)
    return BudgetShown(
        u=budget.u_text,
        k=budget.k_text,
        unit=budget.unit,
        lines=tuple(_line(line) for line in budget.lines),
        result=(
            f"Combined standard uncertainty {_short(budget.combined)} {budget.unit}, effective degrees of freedom "
            f"{freedom}: k = {budget.k_text} for {plain(budget.coverage_percent)} %, so U = {budget.u_text}."
        ),
        remarks=_remarks(budget),
        drawing=share_bars([(line.name, _part(line)) for line in budget.lines]),
    )


def budget_in_brief(budget: UncertaintyBudget | None) -> BudgetInBrief | None:
    """The same for a list."""
    if budget is None:
        return None
    shares = tuple(f"{line.name} {plain(line.share_percent)} %" for line in budget.lines)
    return BudgetInBrief(budget.u_text, budget.k_text, shares, _remarks(budget))


def _line(line: UncertaintyLine) -> BudgetLineShown:
    return BudgetLineShown(
        name=line.name,
        source=line.source,
        evaluation=f"{line.evaluation.value}, {line.distribution.value}",
        stated=_stated(line),
        effect=_short(line.effect),
        freedom="infinite" if line.degrees_of_freedom is None else _short(line.degrees_of_freedom),
        share=f"{line.share_percent:f} %",
    )


def _stated(line: UncertaintyLine) -> str:
    amount = f"{_short(line.stated)} {line.stated_unit}".strip()
    divided = "" if line.divisor == 1 else f" ÷ {_short(line.divisor)}"
    if line.distribution is Distribution.RECTANGULAR:
        return f"± {amount}{divided}"
    symbol = "s" if line.evaluation is Evaluation.A else "u" if line.divisor == 1 else "U"
    return f"{symbol} = {amount}{divided}"


def _remarks(budget: UncertaintyBudget) -> tuple[str, ...]:
    raised = ("U was raised to that of the calibration, which is the larger one.",) if budget.by_calibration else ()
    return (*raised, *budget.unknown)


def _short(number: Decimal) -> str:
    """Three significant digits are enough to look at; the kept figure has five."""
    return plain(Decimal(f"{number:.3g}")) if number else "0"


def _part(line: UncertaintyLine) -> float:
    return float(line.share_percent) / 100
