"""A daily check as it is shown: its verdict, what was read, each line with its reason."""

from dataclasses import dataclass

from service.metrology.typed_numbers import plain
from service.pages.on_dial import read_on_dial
from service.pages.overhauls.small_forms import Fact
from service.pages.rendering import minute
from service.records.rig_reads import PastCheck
from service.workshop.rig_check import RigCheck


@dataclass(frozen=True)
class LineShown:
    """One thing that was checked."""

    what: str
    mark: str
    label: str
    sentence: str


@dataclass(frozen=True)
class CheckShown:
    """One check; `remark` is '' where nobody made one."""

    made: str
    mark: str
    label: str
    lines: tuple[LineShown, ...]
    facts: tuple[Fact, ...]
    remark: str


def check_shown(past: PastCheck, unit: str) -> CheckShown:
    """The check with its pressures in the unit of the dial."""
    check = past.check
    return CheckShown(
        made=f"{minute(past.at)}, {past.person}",
        mark="conforms" if check.good else "does-not-conform",
        label="Good" if check.good else "Not good",
        lines=tuple(LineShown(one.what, one.verdict.value, one.verdict.label, one.sentence) for one in check.found),
        facts=_readings(check, unit),
        remark=check.remark,
    )


def _readings(check: RigCheck, unit: str) -> tuple[Fact, ...]:
    line = check.line
    facts = [
        read_on_dial("Shut off at", line.start_bar, unit),
        read_on_dial("At the end", line.end_bar, unit),
        read_on_dial("Lost", line.start_bar - line.end_bar, unit),
        Fact("Time held", f"{line.held_s} s"),
        Fact("Gauge", f"{line.gauge.code}, calibration {line.gauge.calibration}"),
    ]
    if check.springs is not None:
        forces = ", ".join(plain(force) for force in check.springs.forces_n)
        tester = check.springs.tester
        facts.append(Fact("Clamp springs", f"{forces} N"))
        facts.append(Fact("Spring tester", f"{tester.code}, calibration {tester.calibration}"))
    facts.append(Fact("Decision rule", check.rule))
    return tuple(facts)
