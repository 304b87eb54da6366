"""The answer to a trace in plain numbers, rounded to what is meant: the same for a terminal, a program and a page."""

from dataclasses import dataclass

from service.hydraulics.trace.against_plan import PlanFinding, held_against
from service.hydraulics.trace.analysis import TraceAnalysis, analyse
from service.hydraulics.trace.asked import TraceAsked
from service.hydraulics.trace.holds import Hold
from service.hydraulics.trace.openings import Opening
from service.hydraulics.trace.reading import read_trace
from service.hydraulics.trace.recognition import Recognition, recognise

_BAR_DIGITS, _TIME_DIGITS, _RATE_DIGITS = 4, 6, 5


@dataclass(frozen=True, slots=True)
class OpeningAnswer:
    """One opening: s and bar; the standard uncertainty is that of the line of its rise."""

    t_s: float
    opening_bar: float
    closing_bar: float
    drop_bar: float
    drop_s: float
    standard_uncertainty_bar: float


@dataclass(frozen=True, slots=True)
class HoldAnswer:
    """One hold: its rate in bar/min is positive where the pressure falls; 95 % interval; leak in mm³/s."""

    start_s: float
    end_s: float
    rate_bar_per_min: float
    interval: tuple[float, float]
    steady_from_s: float
    mean_bar: float
    uncorrected_bar_per_min: float
    temperature: str
    bends: bool
    leak_mm3_per_s: float | None
    leak_interval: tuple[float, float] | None


@dataclass(frozen=True, slots=True)
class FactAnswer:
    """One thing that was recognised in the file."""

    what: str
    recognised: str


@dataclass(frozen=True, slots=True)
class FindingAnswer:
    """The verdict on one thing that the plan asks: conforms, not-proven or does-not-conform."""

    what: str
    verdict: str
    sentence: str


@dataclass(frozen=True, slots=True)
class TraceAnswer:
    """Openings with mean, spread (highest less lowest) and uncertainty in bar; holds; verdicts; the recognition."""

    openings: tuple[OpeningAnswer, ...]
    opening_mean_bar: float | None
    opening_spread_bar: float | None
    opening_standard_deviation_bar: float | None
    opening_standard_uncertainty_bar: float | None
    opening_interval: tuple[float, float] | None
    holds: tuple[HoldAnswer, ...]
    verdicts: tuple[FindingAnswer, ...]
    recognised: tuple[FactAnswer, ...]
    rows: int
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TraceFound:
    """All of one trace: how it was read, what was found, the verdicts."""

    recognised: Recognition
    analysis: TraceAnalysis
    findings: tuple[PlanFinding, ...]


def find(data: bytes, asked: TraceAsked) -> TraceFound:
    """Recognise, read and analyse a logger's file. Raises HydraulicsError as its parts do."""
    recognised = recognise(data, asked.given)
    analysis = analyse(read_trace(data, recognised), asked.rig)
    return TraceFound(recognised, analysis, held_against(analysis, asked.plan))


def answer_of(found: TraceFound) -> TraceAnswer:
    """The answer in plain numbers."""
    analysis, statistics = found.analysis, found.analysis.statistics
    return TraceAnswer(
        openings=tuple(map(_opening, analysis.openings)),
        opening_mean_bar=None if statistics is None else round(statistics.mean_bar, _BAR_DIGITS),
        opening_spread_bar=None if statistics is None else round(statistics.spread_bar, _BAR_DIGITS),
        opening_standard_deviation_bar=_rounded(
            None if statistics is None else statistics.standard_deviation_bar, _BAR_DIGITS
        ),
        opening_standard_uncertainty_bar=_rounded(
            None if statistics is None else statistics.standard_uncertainty_bar, _BAR_DIGITS
        ),
        opening_interval=_pair(None if statistics is None else statistics.interval, _BAR_DIGITS),
        holds=tuple(_hold(analysis, hold) for hold in analysis.holds),
        verdicts=tuple(FindingAnswer(one.what, one.verdict, one.sentence) for one in found.findings),
        recognised=tuple(FactAnswer(what, is_) for what, is_ in found.recognised.facts),
        rows=analysis.rows,
        remarks=analysis.remarks,
    )


def _opening(one: Opening) -> OpeningAnswer:
    bars = (one.opening_bar, one.closing_bar, one.drop_bar)
    opening, closing, drop = (round(bar, _BAR_DIGITS) for bar in bars)
    return OpeningAnswer(
        round(one.t_s, _TIME_DIGITS), opening, closing, drop, round(one.drop_s, _TIME_DIGITS),
        round(one.standard_uncertainty_bar, _BAR_DIGITS),
    )  # fmt: skip


def _hold(analysis: TraceAnalysis, hold: Hold) -> HoldAnswer:
    leak = analysis.rig.leak
    low, high = hold.interval
    least, most = leak(low), leak(high)
    return HoldAnswer(
        start_s=round(hold.start_s, _TIME_DIGITS),
        end_s=round(hold.end_s, _TIME_DIGITS),
        rate_bar_per_min=round(hold.rate_bar_per_min, _RATE_DIGITS),
        interval=(round(low, _RATE_DIGITS), round(high, _RATE_DIGITS)),
        steady_from_s=round(hold.steady_from_s, _TIME_DIGITS),
        mean_bar=round(hold.mean_bar, _BAR_DIGITS),
        uncorrected_bar_per_min=round(hold.uncorrected_bar_per_min, _RATE_DIGITS),
        temperature=hold.temperature.value,
        bends=hold.bends,
        leak_mm3_per_s=_rounded(leak(hold.rate_bar_per_min), _RATE_DIGITS),
        leak_interval=_pair(None if least is None or most is None else (least, most), _RATE_DIGITS),
    )


def _rounded(number: float | None, digits: int) -> float | None:
    return None if number is None else round(number, digits)


def _pair(numbers: tuple[float, float] | None, digits: int) -> tuple[float, float] | None:
    return None if numbers is None else (round(numbers[0], digits), round(numbers[1], digits))
