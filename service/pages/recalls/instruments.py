"""The page of one instrument's recall: the question, and what it reaches."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.recall_summary import VesselReached, operators_reached, vessels_reached
from service.actions.recalling import InstrumentRecall, RecalledReading, look_at_instrument_recall
from service.actions.shop import Actor
from service.metrology.errors import DomainError
from service.metrology.typed_numbers import grouped, plain
from service.pages.choices import Option
from service.pages.guards import Manager, renderer_of, shop_of
from service.pages.instruments.places import history_of, place_of, plain_day
from service.pages.instruments.typed_lists import points_as_typed
from service.pages.overhauls.small_forms import Fact
from service.pages.recalls.asking import address_of, asked_in_address, recall_asked
from service.pages.recalls.rig_checks import RigChecksShown, rig_checks_shown
from service.pages.recalls.shown import (
    SHOWN,
    OperatorLine,
    certificate_href,
    operator_lines,
    period_in_words,
    place,
    rule_note,
    standing,
    taken,
    unit_href,
)
from service.pages.refused_form import status_of_form
from service.pages.rendering import FormState, Frame
from service.pages.typed_forms import Typed
from service.records.instrument_reads import CalibrationLine, InstrumentHistory
from service.workshop.vocabulary import InstrumentKind

router = APIRouter(prefix="/recalls/instruments")


@dataclass(frozen=True)
class ReadingRow:
    """One reading in doubt; `mark` is how the corrected verdict is drawn."""

    serial: str
    href: str
    certificate: str
    certificate_href: str
    place: str
    title: str
    taken: str
    standing: str
    before: str
    after: str
    mark: str
    reason: str


@dataclass(frozen=True)
class ReadingGroup:
    """Readings under certificates, or the others; `rows` are the most pressing of `count`."""

    key: str
    title: str
    count: int
    rows: tuple[ReadingRow, ...]
    more: int


@dataclass(frozen=True)
class InstrumentRecallPage:
    """The page; without `found` the question is shown again with what was wrong."""

    page: Frame
    code: str
    back: str
    action: str
    form: FormState
    calibrations: tuple[Option, ...]
    pin_set: bool
    unit: str
    found: bool
    facts: tuple[Fact, ...]
    note: str
    groups: tuple[ReadingGroup, ...]
    rig_checks: RigChecksShown | None
    vessels: tuple[VesselReached, ...]
    operators: tuple[OperatorLine, ...]
    csv: str


@router.get("/{code:path}")
def show_recall(request: Request, code: str, actor: Actor = Manager) -> Response:
    """What the instrument reaches since its last good calibration; the question stands in the address."""
    shop = shop_of(request)
    history, typed = history_of(shop, code), asked_in_address(request)
    try:
        found = look_at_instrument_recall(shop, actor, code, recall_asked(typed, history.row.unit))
    except DomainError as error:
        blank = _blank(request, actor, history, typed.shown(error))
        return renderer_of(request).page("recalls/instrument.html", blank, status_of_form(error))
    context = _filled(_blank(request, actor, history, _form(typed, found)), found, typed)
    return renderer_of(request).page("recalls/instrument.html", context)


def _blank(request: Request, actor: Actor, history: InstrumentHistory, form: FormState) -> InstrumentRecallPage:
    code = history.row.code
    return InstrumentRecallPage(
        page=renderer_of(request).frame(f"Recall {code}", actor, "/instruments"),
        code=code,
        back=place_of(code),
        action=address_of(code, Typed({}, {})),
        form=form,
        calibrations=tuple(_option(line) for line in history.calibrations if not line.annulled),
        pin_set=history.known.kind is InstrumentKind.PIN_SET,
        unit=history.row.unit,
        found=False,
        facts=(),
        note="",
        groups=(),
        rig_checks=None,
        vessels=(),
        operators=(),
        csv="",
    )


def _option(line: CalibrationLine) -> Option:
    one = line.calibration
    return Option(
        str(line.id), f"{plain_day(one.on) or 'Day not recorded'}, {one.certificate}: {one.found.label.lower()}"
    )


def _filled(page: InstrumentRecallPage, found: InstrumentRecall, typed: Typed) -> InstrumentRecallPage:
    certified = [one for one in found.readings if one.injector.certificate]
    others = found.readings[len(certified) :]
    query = address_of(page.code, typed).partition("?")[2]
    return replace(
        page,
        found=True,
        facts=_facts(found, certified),
        note=rule_note(found),
        groups=(
            _group("certified", "Under released certificates", certified),
            _group("others", "Not under a certificate", others),
        ),
        rig_checks=rig_checks_shown(found.rig_checks),
        vessels=vessels_reached((one.injector, _counts(one)) for one in found.readings),
        operators=operator_lines(
            operators_reached(one.injector for one in found.readings),
            f"{page.action}/letters",
            f"?{query}" if query else "",
        ),
        csv=address_of(page.code, typed, "/readings.csv"),
    )


def _counts(one: RecalledReading) -> bool:
    return one.again.changes and one.entry.stands


def _facts(found: InstrumentRecall, certified: Sequence[RecalledReading]) -> tuple[Fact, ...]:
    period, good = found.period, found.period.good
    changed = [one for one in found.readings if _counts(one)]
    papers = {one.injector.certificate for one in certified}
    turned = {one.injector.certificate for one in certified if _counts(one)}
    return (
        Fact("Readings in doubt", period_in_words(period.since, period.until)),
        Fact("Last found within limits", f"{plain_day(good.on)}, {good.certificate}" if good else "never"),
        *_corrected(found),
        Fact("Readings", grouped(len(found.readings))),
        Fact("Verdicts that would change", grouped(len(changed))),
        Fact("Cannot be judged again", grouped(sum(one.again.open for one in found.readings))),
        Fact(
            "Certificates reached",
            f"{grouped(len(papers))}, of them {grouped(len(turned))} with a verdict that would change",
        ),
    )


def _corrected(found: InstrumentRecall) -> tuple[Fact, ...]:
    """The error taken off; pins stand in the form, each with its diameter."""
    if found.history.known.kind is InstrumentKind.PIN_SET:
        return ()
    return (Fact("Error taken off each reading", found.correction.in_words(found.history.row.unit)),)


def _group(key: str, title: str, readings: Sequence[RecalledReading]) -> ReadingGroup:
    rows = tuple(_row(one) for one in readings[:SHOWN])
    return ReadingGroup(key, title, len(readings), rows, len(readings) - len(rows))


def _row(one: RecalledReading) -> ReadingRow:
    mark = "not-measured" if one.again.open else "does-not-conform" if one.again.changes else "conforms"
    return ReadingRow(
        serial=one.injector.serial,
        href=unit_href(one.injector),
        certificate=one.injector.certificate,
        certificate_href=certificate_href(one.injector),
        place=place(one.injector),
        title=one.entry.title,
        taken=taken(one),
        standing=standing(one),
        before=one.again.before,
        after=one.again.in_words,
        mark=mark,
        reason=one.again.reason,
    )


def _form(typed: Typed, found: InstrumentRecall) -> FormState:
    """What was typed, and the proposal where nothing was."""
    pins = "\n".join(f"{plain(nominal)}; {plain(size)}" for nominal, size in sorted(found.correction.pins.items()))
    along = found.correction.points
    proposed: dict[str, str | list[str]] = {
        "calibration": str(found.failed.id) if found.failed else "",
        "error": "" if along else plain(found.correction.error),
        "points": points_as_typed(along, pin_set=False),
        "pins": pins,
    }
    shown = typed.shown()
    return FormState({**proposed, **{name: text for name, text in shown.values.items() if text}}, shown.errors)
