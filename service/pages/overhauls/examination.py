"""Examining: the list of characteristics, then one decision per screen with its verdict at once."""

from dataclasses import replace

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.examining import record_examination
from service.actions.looking import look_at_overhaul
from service.actions.shop import Actor, Forbidden, NotFound, status_of
from service.metrology.errors import DomainError
from service.pages.guards import AtBench, renderer_of, shop_of
from service.pages.overhauls.bench_pins import bench_pins
from service.pages.overhauls.examination_view import (
    CharacteristicPage,
    ExaminationPage,
    earlier,
    examination_refusal,
    examined_lines,
    instrument_options,
    last_time,
    next_link,
    outcome_shown,
    plate,
    temperature_read_today,
    temperature_words,
)
from service.pages.overhauls.head import overhaul_head
from service.pages.overhauls.measurement_forms import errors_told, measured, measurement_form
from service.pages.overhauls.nozzle_card import nozzle_card
from service.pages.overhauls.profile_form import USUAL, profile_field, profile_shown_again
from service.pages.overhauls.rejudging_form import rejudging
from service.pages.overhauls.section_view import section_shown
from service.pages.overhauls.small_forms import Link, PageForms, Refusal
from service.pages.overhauls.whole_or_part import whole_or_part
from service.pages.photographs.panel import panel_of
from service.pages.refused_form import seen_again
from service.pages.rendering import FormState, new_form_key, see_other, wants_fragment
from service.pages.typed_forms import Typed, TypedForm
from service.records.decision_rules import rule_in_force
from service.records.overhaul_store import LoadedOverhaul
from service.workshop.cautions import cautions
from service.workshop.disposition import propose
from service.workshop.limit_sheet import AnyCharacteristic
from service.workshop.stages import unexamined
from service.workshop.vocabulary import Phase

router = APIRouter()


@router.get("/overhauls/{number}/examination")
def show_examination(request: Request, number: str, actor: Actor = AtBench) -> Response:
    """Every characteristic in the sheet's order, and the way to the first open one."""
    return examination_list(request, actor, number, None)


def examination_list(request: Request, actor: Actor, number: str, refused: Refusal | None) -> Response:
    """The list; `refused` is the form to judge again that came back."""
    loaded = look_at_overhaul(shop_of(request), actor, number)
    with shop_of(request).store.reading() as session:
        rule = rule_in_force(session)
    record, head = loaded.record, overhaul_head(loaded, "/examination")
    refusal, forms = examination_refusal(record), PageForms(loaded.record.last_seq, refused)
    again = rejudging(record, rule, actor, head.address, forms)
    count = len(record.sheet.characteristics)
    context = ExaminationPage(
        page=renderer_of(request).frame(f"Examine {loaded.unit.serial}", actor, "/board"),
        head=head,
        examined=count - len(unexamined(record, propose(record))),
        count=count,
        next=None if refusal else next_link(record, head.address, ""),
        refusal=refusal,
        lines=examined_lines(record, head.address),
        rejudging=again,
        unplaced=forms.unplaced,
    )
    return renderer_of(request).page("overhauls/characteristics.html", context, forms.status)


@router.get("/overhauls/{number}/examination/{key}")
def show_characteristic(
    request: Request, number: str, key: str, phase: str = "found", actor: Actor = AtBench
) -> Response:
    """One characteristic: the form, or the verdict in force with the form behind it."""
    loaded = look_at_overhaul(shop_of(request), actor, number)
    return _page(request, actor, loaded, _item(loaded, key), _phase(phase), None, None)


@router.post("/overhauls/{number}/examination/{key}")
def examine_characteristic(
    request: Request,
    number: str,
    key: str,
    phase: str = "found",
    actor: Actor = AtBench,
    typed: Typed = TypedForm,
) -> Response:
    """Record one characteristic and show its verdict."""
    shop, when = shop_of(request), _phase(phase)
    item = _item(look_at_overhaul(shop, actor, number), key)
    try:
        measure = measured(shop, item, typed)
        record_examination(shop, actor, number, typed.form, characteristic=key, phase=when, measure=measure)
    except (NotFound, Forbidden):
        raise
    except DomainError as error:
        return _page(request, actor, look_at_overhaul(shop, actor, number), item, when, typed, error)
    if not wants_fragment(request):
        return see_other(_address(number, key, when), request)
    return _page(request, actor, look_at_overhaul(shop, actor, number), item, when, None, None)


def _item(loaded: LoadedOverhaul, key: str) -> AnyCharacteristic:
    item = loaded.record.sheet.characteristic_by_key.get(key)
    if item is None:
        raise NotFound("no-characteristic", "The limit sheet has no such characteristic.")
    return item


def _phase(text: str) -> Phase:
    try:
        return Phase(text)
    except ValueError:
        raise NotFound("no-phase", "There is no such page.") from None


def _address(number: str, key: str, phase: Phase) -> str:
    again = f"?phase={phase.value}" if phase is Phase.AFTER_REWORK else ""
    return f"/overhauls/{number}/examination/{key}{again}"


def _page(
    request: Request,
    actor: Actor,
    loaded: LoadedOverhaul,
    item: AnyCharacteristic,
    phase: Phase,
    typed: Typed | None,
    error: DomainError | None,
) -> Response:
    shop, record, sheet = shop_of(request), loaded.record, loaded.record.sheet
    head = overhaul_head(loaded, "/examination")
    fields, found, before = measurement_form(item), record.finding(item.key, phase), earlier(shop, loaded, item)
    instruments, left_out = instrument_options(shop, fields)
    usual: dict[str, str | list[str]] = {"instrument": instruments[0].value} if len(instruments) == 1 else {}
    form = FormState({**usual, **USUAL})
    read_today = temperature_read_today(shop, record)
    form = replace(form, values={**form.values, "bench_temperature": read_today})
    seen, form_key = head.seen, new_form_key()
    if typed is not None and error is not None:
        told = {profile_field(name, typed): text for name, text in errors_told(error, fields).items()}
        form = FormState({**typed.shown().values, **_as_typed(typed, fields.lists), **profile_shown_again(typed)}, told)
        seen, form_key = seen_again(typed, error, head.seen), typed.text("form_key") or form_key
    refusal = examination_refusal(record)
    position = sheet.characteristics.index(item) + 1
    context = CharacteristicPage(
        page=renderer_of(request).frame(f"{item.title}, {loaded.unit.serial}", actor, "/board"),
        head=head,
        address=_address(loaded.row.number, item.key, phase),
        place=f"{position} of {len(sheet.characteristics)}",
        part=sheet.part_by_key[item.part].name,
        title=item.title,
        how=item.how,
        phase_words="After rework" if phase is Phase.AFTER_REWORK else "",
        cautions=cautions(*item.cautions),
        plate=plate(item),
        last_time=last_time(before),
        replace_only=item.replace_only,
        measurement=fields,
        instruments=instruments,
        left_out=left_out,
        usual_temperature=temperature_words(shop.bench),
        form=form,
        form_key=form_key,
        seen=seen,
        open=not refusal or error is not None,
        refusal=refusal,
        form_open=found is None or error is not None,
        outcome=outcome_shown(found),
        nozzle=nozzle_card(item, found, before, error, bench_pins(shop, item, instruments)),
        section=section_shown(item, found),
        next=_next(loaded, head.address, item, phase),
        list_href=f"{head.address}/examination",
        photographs=panel_of(
            shop, actor, loaded, item.key, "after-rework" if phase is Phase.AFTER_REWORK else "examination"
        ),
    )
    return whole_or_part(request, "overhauls/examination", context, status_of(error) if error else 200)


def _as_typed(typed: Typed, names: tuple[str, ...]) -> dict[str, str | list[str]]:
    """Every box of a list where it stood, the empty ones too."""
    return {name: list(typed.fields.get(name, ())) for name in names}


def _next(loaded: LoadedOverhaul, address: str, item: AnyCharacteristic, phase: Phase) -> Link:
    if phase is Phase.AFTER_REWORK:
        return Link(f"{address}/rebuild", "Go on with the rebuild")
    return next_link(loaded.record, address, item.key)
