"""One instrument's page: its entry, how it stands today, its history, and what may be done with it."""

from dataclasses import dataclass, field
from decimal import Decimal

from fastapi import Request
from fastapi.responses import Response

from service.actions.shop import Actor
from service.metrology.typed_numbers import grouped, plain
from service.pages.choices import Option
from service.pages.guards import renderer_of, shop_of
from service.pages.instruments.places import place_of, plain_day
from service.pages.overhauls.small_forms import Fact
from service.pages.rendering import FormState, Frame, minute, new_form_key
from service.records.instrument_reads import CalibrationLine, InstrumentHistory
from service.records.scanned_files import ENDINGS
from service.workshop.calibration import (
    Calibration,
    CalibrationState,
    FoundState,
    InstrumentState,
    calibration_state,
    in_force,
)
from service.workshop.instrument_fitness import range_in_words
from service.workshop.vocabulary import InstrumentKind, Role

FEW_POINTS = 12


@dataclass(frozen=True)
class ScanShown:
    """A scanned certificate to open."""

    href: str
    label: str
    sha256: str


@dataclass(frozen=True)
class PointShown:
    """One calibrated point; `diameter` is '' unless it is a gauge pin's."""

    nominal: str
    diameter: str
    error: str


@dataclass(frozen=True)
class CalibrationShown:
    """One calibration of the history with the forms that add its scan and annul it; `opened` shows few points at once.

    `annulled` says who annulled it, when and why; '' for one that counts.
    """

    title: str
    in_force: bool
    annulled: str
    opened: bool
    found: FoundState
    facts: tuple[Fact, ...]
    points: tuple[PointShown, ...]
    scans: tuple[ScanShown, ...]
    scan_action: str
    scan_form: FormState
    annul_action: str
    annul_form: FormState


@dataclass(frozen=True)
class SmallForms:
    """The forms of the page that are shown again with what was wrong; two of them with their calibration's number."""

    state: FormState = field(default_factory=FormState)
    scan: tuple[int, FormState] | None = None
    annulment: tuple[int, FormState] | None = None


@dataclass(frozen=True)
class InstrumentPage:
    """The page; `changes` are the states that this person may put it into."""

    page: Frame
    code: str
    description: str
    standing: CalibrationState
    reason: str
    facts: tuple[Fact, ...]
    unit: str
    pin_set: bool
    calibrations: tuple[CalibrationShown, ...]
    keeps: bool
    entry_href: str
    calibrate_href: str
    recall_href: str
    state_action: str
    state_form: FormState
    changes: tuple[Option, ...]
    form_key: str
    seen: int


def instrument_page(
    request: Request,
    actor: Actor,
    found: InstrumentHistory,
    forms: SmallForms = SmallForms(),
    *,
    seen: int | None = None,
    status: int = 200,
) -> Response:
    """Render it."""
    shop, renderer = shop_of(request), renderer_of(request)
    today, row, place = shop.today, found.row, place_of(found.row.code)
    now = in_force((line.calibration for line in reversed(found.calibrations)), today)
    pin_set = row.kind == InstrumentKind.PIN_SET.value
    keeps = actor.role is Role.MANAGER
    context = InstrumentPage(
        page=renderer.frame(row.code, actor, "/instruments"),
        code=row.code,
        description=row.description,
        standing=calibration_state(now.due if now else None, today, InstrumentState(row.state)),
        reason=row.state_reason,
        facts=_facts(found, now),
        unit=row.unit,
        pin_set=pin_set,
        calibrations=tuple(_shown(line, now, place, row.unit, pin_set, forms) for line in found.calibrations),
        keeps=keeps,
        entry_href=f"{place}/entry",
        calibrate_href=f"{place}/calibrations/new",
        recall_href=f"/recalls{place}",
        state_action=f"{place}/state",
        state_form=forms.state,
        changes=_changes(InstrumentState(row.state), keeps),
        form_key=new_form_key(),
        seen=row.version if seen is None else seen,
    )
    return renderer.page("instruments/instrument.html", context, status)


def _facts(found: InstrumentHistory, now: Calibration | None) -> tuple[Fact, ...]:
    row = found.row
    facts = [
        Fact("Kind", InstrumentKind(row.kind).label),
        Fact("Reads", row.unit),
        Fact("Range", range_in_words(found.known.lower, found.known.upper, row.unit) or "not stated"),
        Fact("Resolution", f"{row.resolution} {row.unit}" if row.resolution else "not stated"),
        Fact("Repeatability", _repeatability(found)),
        Fact("Place", row.location or "not stated"),
    ]
    if row.kind == InstrumentKind.PIN_SET.value:
        sizes = found.pins
        listed = f"{len(sizes)}, {plain(sizes[0])} to {plain(sizes[-1])} mm" if sizes else "not listed"
        facts[2] = Fact("Pins in use", listed)
    facts.append(Fact("Calibration in force", now.certificate if now else "none"))
    if now is not None:
        facts.append(Fact("Due", plain_day(now.due)))
    return tuple(facts)


def _repeatability(found: InstrumentHistory) -> str:
    known = found.known
    if known.repeatability is None:
        return "not stated"
    return f"s = {plain(known.repeatability)} {known.unit}, from {known.repeatability_readings} readings"


def _shown(
    line: CalibrationLine,
    now: Calibration | None,
    place: str,
    unit: str,
    pin_set: bool,
    forms: SmallForms,
) -> CalibrationShown:
    one, here = line.calibration, f"{place}/calibrations/{line.id}"
    where, why = f"{here}/scans", line.annulled
    return CalibrationShown(
        title=plain_day(one.on) or "Day not recorded",
        in_force=one == now,
        annulled=f"{why.by}, {minute(why.at)}: {why.reason}" if why else "",
        opened=one == now and len(one.points) <= FEW_POINTS,
        found=one.found,
        facts=tuple(
            fact
            for fact in (
                Fact("Certificate", one.certificate),
                Fact("Laboratory", one.laboratory),
                Fact("Due", plain_day(one.due)),
                Fact("Expanded uncertainty", f"{plain(one.expanded_uncertainty)} {unit} (k = {plain(one.k)})"),
                Fact("Remark", line.remark),
                Fact("Recorded", f"{line.recorded_by}, {minute(line.recorded_at)}" if line.recorded_by else ""),
            )
            if fact.value
        ),
        points=tuple(
            PointShown(plain(point.nominal), plain(point.diameter) if pin_set else "", signed(point.error))
            for point in one.points
        ),
        scans=tuple(
            ScanShown(
                f"{where}/{scan.id}", f"{ENDINGS[scan.media_type].upper()}, {grouped(scan.size)} bytes", scan.sha256
            )
            for scan in line.scans
        ),
        scan_action=where,
        scan_form=_form_of(line, forms.scan, "c"),
        annul_action=f"{here}/annulment",
        annul_form=_form_of(line, forms.annulment, "a"),
    )


def _form_of(line: CalibrationLine, given: tuple[int, FormState] | None, letter: str) -> FormState:
    """The form of this calibration, with what was wrong where it was this one."""
    typed = given[1] if given is not None and given[0] == line.id else FormState()
    return FormState(typed.values, typed.errors, f"{letter}{line.id}-")


def signed(error: Decimal) -> str:
    """An error with its sign, as certificates print it."""
    return f"+{plain(error)}" if error > 0 else plain(error)


def _changes(state: InstrumentState, keeps: bool) -> tuple[Option, ...]:
    quarantine = Option(InstrumentState.QUARANTINED.value, "Put into quarantine")
    release = Option(InstrumentState.IN_USE.value, "Release for use")
    withdraw = Option(InstrumentState.WITHDRAWN.value, "Withdraw from use")
    possible = {
        InstrumentState.IN_USE: (quarantine, withdraw),
        InstrumentState.QUARANTINED: (release, withdraw),
        InstrumentState.WITHDRAWN: (release,),
    }[state]
    return possible if keeps else tuple(one for one in possible if one is quarantine)
