"""Stripping and cleaning: how each part came out, every seal discarded."""

from dataclasses import dataclass, replace

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.examining import record_strip
from service.actions.looking import look_at_overhaul
from service.actions.shop import Actor, Forbidden, NotFound, status_of
from service.metrology.errors import DomainError
from service.pages.choices import Option, options_of
from service.pages.guards import AtBench, renderer_of, shop_of
from service.pages.overhauls.head import OverhaulHead, overhaul_head
from service.pages.overhauls.recordable import stage_allows
from service.pages.overhauls.small_forms import Fact
from service.pages.overhauls.whole_or_part import whole_or_part
from service.pages.refused_form import seen_again
from service.pages.rendering import FormState, Frame, new_form_key, see_other
from service.pages.typed_forms import Typed, TypedForm
from service.workshop.cautions import STRIPPING, Caution, cautions
from service.workshop.entries import PartFound, Stripped
from service.workshop.limit_sheet import LimitSheet
from service.workshop.vocabulary import PartState

router = APIRouter()


@dataclass(frozen=True)
class PartQuestion:
    """How did this part come out?"""

    name: str
    label: str


@dataclass(frozen=True)
class StripPage:
    """The strip form, or what was recorded."""

    page: Frame
    head: OverhaulHead
    cautions: tuple[Caution, ...]
    form: FormState
    form_key: str
    seen: int
    open: bool
    parts: tuple[PartQuestion, ...]
    states: tuple[Option, ...]
    seals: str
    recorded: tuple[Fact, ...]
    remark: str


@router.get("/overhauls/{number}/strip")
def show_strip(request: Request, number: str, actor: Actor = AtBench) -> Response:
    """The strip form, or what was recorded."""
    return _page(request, actor, number, FormState())


@router.post("/overhauls/{number}/strip")
def do_strip(request: Request, number: str, actor: Actor = AtBench, typed: Typed = TypedForm) -> Response:
    """Record the strip; or, asked to, mark what is not answered yet as free and show the form again."""
    shop = shop_of(request)
    sheet = look_at_overhaul(shop, actor, number).record.sheet
    if typed.text("mark") == "others-free":
        return _page(request, actor, number, _others_free(typed, sheet).shown(), typed)
    try:
        parts = tuple(
            PartFound(part=part.key, state=typed.choice(_name(part.key), PartState, part.name))
            for part in sheet.parts
            if not part.seal and typed.text(_name(part.key))
        )
        record_strip(
            shop,
            actor,
            number,
            typed.form,
            parts=parts,
            seals_discarded=typed.ticked("seals_discarded"),
            remark=typed.text("remark"),
        )
    except (NotFound, Forbidden):
        raise
    except DomainError as error:
        return _page(request, actor, number, typed.shown(error), typed, error)
    return see_other(f"/overhauls/{number}/examination", request)


def _name(part: str) -> str:
    return f"state-{part}"


def _others_free(typed: Typed, sheet: LimitSheet) -> Typed:
    """The same form, every part without an answer marked as free."""
    blank = [_name(part.key) for part in sheet.parts if not part.seal and not typed.text(_name(part.key))]
    return replace(typed, fields={**typed.fields, **dict.fromkeys(blank, (PartState.FREE.value,))})


def _page(
    request: Request,
    actor: Actor,
    number: str,
    form: FormState,
    typed: Typed | None = None,
    error: DomainError | None = None,
) -> Response:
    loaded = look_at_overhaul(shop_of(request), actor, number)
    head, sheet, stripped = overhaul_head(loaded, "/strip"), loaded.record.sheet, loaded.record.stripped
    seals = [part.name for part in sheet.parts if part.seal]
    context = StripPage(
        page=renderer_of(request).frame(f"Strip {loaded.unit.serial}", actor, "/board"),
        head=head,
        cautions=cautions(*STRIPPING) if stripped is None else (),
        form=form,
        form_key=(typed.text("form_key") if typed else "") or new_form_key(),
        seen=_seen(typed, error, head.seen),
        open=stage_allows(loaded.record, Stripped) or error is not None,
        parts=tuple(PartQuestion(_name(part.key), part.name) for part in sheet.parts if not part.seal),
        states=options_of(PartState),
        seals=", ".join(seals),
        recorded=_recorded(stripped, sheet),
        remark=stripped.remark if stripped else "",
    )
    return whole_or_part(request, "overhauls/strip", context, status_of(error) if error else 200)


def _seen(typed: Typed | None, error: DomainError | None, current: int) -> int:
    if typed is None:
        return current
    return seen_again(typed, error, current) if error else typed.form.seen


def _recorded(stripped: Stripped | None, sheet: LimitSheet) -> tuple[Fact, ...]:
    if stripped is None:
        return ()
    parts = tuple(Fact(sheet.part_by_key[found.part].name, found.state.label) for found in stripped.parts)
    return (*parts, Fact("Seals", "All discarded"))
