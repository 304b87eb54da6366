"""What the examination pages say: the list with its verdicts, and one characteristic with all that helps to decide."""

from collections.abc import Mapping
from dataclasses import dataclass

from service.actions.shop import Shop
from service.metrology.typed_numbers import plain
from service.pages.budget_view import BudgetInBrief, BudgetShown, budget_in_brief, budget_shown
from service.pages.choices import Option
from service.pages.overhauls.head import OverhaulHead
from service.pages.overhauls.measurement_forms import MeasurementForm
from service.pages.overhauls.nozzle_card import NozzleCard
from service.pages.overhauls.recordable import stage_allows
from service.pages.overhauls.rejudging_form import Rejudging, judged_again_words
from service.pages.overhauls.section_view import SectionShown
from service.pages.overhauls.small_forms import Fact, Link
from service.pages.photographs.panel import PhotographPanel
from service.pages.rendering import FormState, Frame, day
from service.records.examination_reads import EarlierFinding, ListedInstrument, earlier_finding, instruments_for
from service.records.overhaul_store import LoadedOverhaul
from service.workshop.cautions import Caution
from service.workshop.conformity_chance import chance_words
from service.workshop.disposition import propose
from service.workshop.entries import Examined
from service.workshop.examination.nozzle_words import limit_parts, limit_text
from service.workshop.limit_sheet import (
    AnyCharacteristic,
    OvalityCharacteristic,
    PinCharacteristic,
    RoundnessCharacteristic,
    SizeCharacteristic,
    VisualCharacteristic,
    YesNoCharacteristic,
)
from service.workshop.measurements import BenchTemperature, SizeMeasurement
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.stages import stage_of, unexamined
from service.workshop.vocabulary import Phase, Stage, VerdictKind

_LIMIT_LABELS = {"visual": "Acceptable", "yes-no": "Required answer"}


@dataclass(frozen=True)
class CharacteristicLine:
    """One characteristic of the list with its verdict."""

    href: str
    part: str
    title: str
    mark: str
    verdict: str
    value: str
    uncertainty: BudgetInBrief | None
    after_rework: Link | None
    judged_again: str


@dataclass(frozen=True)
class ExaminationPage:
    """All characteristics in the sheet's order; `next` is the first that is open."""

    page: Frame
    head: OverhaulHead
    examined: int
    count: int
    next: Link | None
    refusal: str
    lines: tuple[CharacteristicLine, ...]
    rejudging: Rejudging | None
    unplaced: FormState


@dataclass(frozen=True)
class OutcomeShown:
    """A verdict as it is shown at the bench."""

    mark: str
    label: str
    sentence: str
    value: str
    limit: str
    consequence: str
    rule: str
    instrument: str
    uncertainty: BudgetShown | None


@dataclass(frozen=True)
class CharacteristicPage:
    """One decision: what is asked, the limit, last time's finding, the form, the verdict."""

    page: Frame
    head: OverhaulHead
    address: str
    place: str
    part: str
    title: str
    how: str
    phase_words: str
    cautions: tuple[Caution, ...]
    plate: tuple[Fact, ...]
    last_time: str
    replace_only: bool
    measurement: MeasurementForm
    instruments: tuple[Option, ...]
    left_out: str
    usual_temperature: str
    form: FormState
    form_key: str
    seen: int
    open: bool
    refusal: str
    form_open: bool
    outcome: OutcomeShown | None
    nozzle: NozzleCard | None
    section: SectionShown | None
    next: Link
    list_href: str
    photographs: PhotographPanel


def limit_words(item: AnyCharacteristic) -> str:
    """The limit as it is read before anything is measured."""
    match item:
        case SizeCharacteristic():
            return item.limits.text(item.unit)
        case PinCharacteristic():
            return limit_text(item)
        case OvalityCharacteristic():
            return f"ovality at most {plain(item.limit)} mm"
        case RoundnessCharacteristic():
            return f"roundness deviation {item.text}"
        case VisualCharacteristic():
            return ", ".join(choice.label for choice in item.findings if choice.outcome.value == "acceptable")
        case YesNoCharacteristic():
            return "yes" if item.required else "no"


def plate(item: AnyCharacteristic) -> tuple[Fact, ...]:
    """Limit and consequence side by side."""
    facts = [Fact(_LIMIT_LABELS.get(item.kind, "Limit"), limit_words(item))]
    if isinstance(item, SizeCharacteristic) and item.rework_until is not None:
        facts.append(Fact("Rework down or up to", f"{plain(item.rework_until)} {item.unit}"))
    if isinstance(item, PinCharacteristic):
        facts = [Fact(label, limit) for label, limit in limit_parts(item)]
        facts.append(Fact("If the go pin does not enter", item.undersize_consequence.label))
        facts.append(Fact("If the reject pin enters any hole", item.consequence.label))
    elif isinstance(item, VisualCharacteristic):
        facts.append(Fact("If rejected", item.consequence.label))
    else:
        facts.append(Fact("If it does not conform", item.consequence.label))
    return tuple(facts)


def earlier(shop: Shop, loaded: LoadedOverhaul, item: AnyCharacteristic) -> EarlierFinding | None:
    """What an earlier overhaul of this serial found, None for the first."""
    part = loaded.record.sheet.part_by_key[item.part]
    items = [part.key, *([part.assembly] if part.assembly else [])]
    return earlier_finding(shop.store, loaded.unit.id or 0, loaded.row.id or 0, item.key, items)


def last_time(found: EarlierFinding | None) -> str:
    """The earlier finding in words, '' for none."""
    if found is None:
        return ""
    outcome = found.examined.outcome
    renewed = " The part was renewed then." if found.renewed else ""
    return f"{outcome.value}: {outcome.verdict.label.lower()}. {day(found.at)}, {found.overhaul}.{renewed}"


def instrument_options(shop: Shop, form: MeasurementForm) -> tuple[tuple[Option, ...], str]:
    """The instruments to choose from, and which are left out because their calibration has run out."""
    if not form.asks_instrument:
        return (), ""
    listed = instruments_for(shop.store, form.instrument_kinds, form.instrument_unit, shop.today)
    late = ", ".join(f"{one.code} (due {one.due.day} {one.due:%b %Y})" for one in listed if one.overdue)
    fit = tuple(Option(one.code, _instrument_words(one)) for one in listed if not one.overdue)
    return fit, f"Not listed, since its calibration has run out: {late}." if late else ""


def temperature_words(bench: BenchTemperature) -> str:
    """The temperature at the bench and how well it is known."""
    return f"{plain(bench.celsius)} °C ± {plain(bench.half_width)} K"


def temperature_read_today(shop: Shop, record: OverhaulRecord) -> str:
    """What was last read on the thermometer for this injector today, '' where nothing was."""
    for entry in reversed(record.entries):
        if shop.day_of(entry.at) == shop.today and isinstance(entry.content, Examined):
            measured = entry.content.measurement
            if isinstance(measured, SizeMeasurement) and measured.temperature and measured.temperature.measured:
                return plain(measured.temperature.celsius)
    return ""


def _instrument_words(one: ListedInstrument) -> str:
    return ", ".join(word for word in (one.code, one.description, one.uncertainty) if word)


def outcome_shown(found: Examined | None) -> OutcomeShown | None:
    """The verdict in force."""
    if found is None:
        return None
    outcome = found.outcome
    use = getattr(found.measurement, "instrument", None)
    return OutcomeShown(
        mark=outcome.verdict.value,
        label=outcome.verdict.label,
        sentence=outcome.sentence,
        value=outcome.value,
        limit=outcome.limit,
        consequence=outcome.consequence.label if outcome.consequence else "",
        rule=". ".join(filter(None, (outcome.rule, chance_words(outcome.probability_of_conformity)))),
        instrument=f"{use.code}, calibration {use.calibration}" if use else "",
        uncertainty=budget_shown(outcome.uncertainty),
    )


def next_link(record: OverhaulRecord, address: str, after: str) -> Link:
    """The next open characteristic after this one, then those before it, then settling."""
    order = [item.key for item in record.sheet.characteristics]
    here = order.index(after) if after in order else -1
    still = unexamined(record, propose(record))
    behind = [key for key in still if order.index(key) > here]
    for key in (*behind, *still):
        if key != after:
            return Link(f"{address}/examination/{key}", f"Next: {record.sheet.characteristic_by_key[key].title}")
    if still:
        return Link(f"{address}/examination", "All characteristics")
    return Link(f"{address}/settlement", "All examined: settle the parts")


def examined_lines(record: OverhaulRecord, address: str) -> tuple[CharacteristicLine, ...]:
    """Every characteristic of the sheet with its verdict in force."""
    still = unexamined(record, propose(record))
    examined = dict(record.all_of(Examined))
    return tuple(_line(record, address, item, item.key in still, examined) for item in record.sheet.characteristics)


def _line(
    record: OverhaulRecord,
    address: str,
    item: AnyCharacteristic,
    still_open: bool,
    examined: Mapping[int, Examined],
) -> CharacteristicLine:
    again = record.finding(item.key, Phase.AFTER_REWORK)
    found = again or record.finding(item.key)
    href = f"{address}/examination/{item.key}"
    reworked = item.part in record.reworked and item.recheck_after_rework
    verdict = found.outcome.verdict if found else VerdictKind.NOT_MEASURED
    return CharacteristicLine(
        href=href,
        part=record.sheet.part_by_key[item.part].name,
        title=item.title,
        mark=verdict.value,
        verdict=verdict.label if found or still_open else "Not needed",
        value=found.outcome.value if found else "",
        uncertainty=budget_in_brief(found.outcome.uncertainty) if found else None,
        after_rework=Link(f"{href}?phase={Phase.AFTER_REWORK.value}", "After rework") if reworked else None,
        judged_again=judged_again_words(found, examined) if found else "",
    )


def examination_refusal(record: OverhaulRecord) -> str:
    """Why nothing can be examined now, with the remedy; '' where it can."""
    if stage_allows(record, Examined):
        return ""
    if record.exit is not None:
        return "This overhaul is over."
    if record.held is not None:
        return "Held: a manager must lift the hold first."
    return "Strip the injector first." if stage_of(record) is Stage.RECEIVED else "Not possible at this stage."
