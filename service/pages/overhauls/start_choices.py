"""What a bench run can be started with: each gauge in date with its rig and today's check of it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from service.pages.choices import Option
from service.pages.test_rigs.places import REGISTER, place_of
from service.pages.test_rigs.rig_words import check_in_words
from service.records.examination_reads import ListedInstrument
from service.records.rig_reads import KnownRig
from service.workshop.test_rig import why_indicative

_WORTH = "is indicative and supports no release."
_ON = " on "


@dataclass(frozen=True)
class StartChoice:
    """A gauge on a rig, which is '' where the gauge belongs to none."""

    option: Option
    gauge: str
    rig: str


@dataclass(frozen=True)
class IndicativeNotice:
    """Why a run would be indicative, and the way to mend it."""

    sentence: str
    href: str
    remedy: str


def start_choices(gauges: Iterable[ListedInstrument], rigs: Iterable[KnownRig]) -> tuple[StartChoice, ...]:
    """Every gauge in date; one that serves several rigs stands once for each of them."""
    in_use = [known for known in rigs if known.rig.in_use]
    choices = []
    for gauge in gauges:
        own = [known for known in in_use if gauge.code in known.rig.gauges]
        if gauge.overdue:
            continue
        if not own:
            choices.append(StartChoice(Option(gauge.code, f"{gauge.code} · on no test rig"), gauge.code, ""))
        for known in own:
            rig = known.rig.code
            label = f"{gauge.code} · rig {rig} · {check_in_words(known.check)}"
            choices.append(StartChoice(Option(f"{gauge.code}{_ON}{rig}", label), gauge.code, rig))
    return tuple(choices)


def chosen(choices: Iterable[StartChoice], value: str) -> tuple[str, str]:
    """Gauge and rig of what was chosen; what is not on the list is left to the action to refuse.

    A rig that was taken out of use since the page was opened is still named: a run without it would be indicative, and
    void the run before it, which nobody asked for.
    """
    gauge, _, rig = value.partition(_ON)
    return next(((one.gauge, one.rig) for one in choices if one.option.value == value), (gauge, rig))


def indicative_notices(
    choices: Iterable[StartChoice], rigs: Iterable[KnownRig], today: date
) -> tuple[IndicativeNotice, ...]:
    """For each rig on offer on which a run of today would be indicative, and for the gauges that are on none."""
    offered = tuple(choices)
    codes = {one.rig for one in offered}
    notices = [
        _of_rig(known) for known in rigs if known.rig.code in codes and why_indicative(known.rig, known.check, today)
    ]
    loose = [one.gauge for one in offered if not one.rig]
    if loose:
        named = f"{', '.join(loose)} {'belongs' if len(loose) == 1 else 'belong'} to no test rig"
        notices.append(
            IndicativeNotice(
                f"{named}: a run started with {'it' if len(loose) == 1 else 'them'} {_WORTH}",
                REGISTER,
                "See the test rigs",
            )
        )
    return tuple(notices)


def _of_rig(known: KnownRig) -> IndicativeNotice:
    code = known.rig.code
    why = (
        f"Rig {code} has not been checked today" if known.check is None else f"Today’s check of rig {code} was not good"
    )
    return IndicativeNotice(
        f"{why}: a run started on it now {_WORTH}", f"{place_of(code)}/checks/new", f"Check rig {code}"
    )
