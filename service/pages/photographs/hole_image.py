"""Measuring a spray hole in a photograph: the scale is asked, the finding drawn, a person accepts or rejects it."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response
from markupsafe import Markup

from service.actions.hole_images import MeasuredHole, decide_hole_evaluation, measure_hole
from service.actions.photographs import OverhaulPhotographs, look_at_photographs
from service.actions.shop import Actor, NotFound, Refused, Shop, status_of
from service.metrology.errors import DomainError
from service.pages.choices import Option
from service.pages.guards import AtBench, renderer_of, shop_of
from service.pages.hole_scale_form import FIELDS, SCALES, as_typed, typed_query, typed_scale
from service.pages.hole_words import quality_facts, size_facts
from service.pages.overhauls.examination_view import limit_words
from service.pages.overhauls.head import OverhaulHead, overhaul_head
from service.pages.overhauls.small_forms import Fact
from service.pages.overhauls.whole_or_part import whole_or_part
from service.pages.photographs.cards import place_of
from service.pages.photographs.overlay import overlay
from service.pages.photographs.photograph import ShownPhotograph, shown_photograph
from service.pages.refused_form import status_of_form
from service.pages.rendering import FormState, Frame, new_form_key, see_other
from service.pages.row_ids import RowId
from service.pages.typed_forms import Typed, TypedForm
from service.records.tables import PhotographRow
from service.workshop.limit_sheet import AnyCharacteristic
from service.workshop.photographs import NoSuchHole, holes_of, subject_words

router = APIRouter()


@dataclass(frozen=True)
class MeasuredShown:
    """What was found, and the form that decides on it; `carried` are the fields that say of what."""

    title: str
    drawn: Markup
    sizes: tuple[Fact, ...]
    quality: tuple[Fact, ...]
    not_nominal: tuple[str, ...]
    action: str
    form_key: str
    form: FormState
    carried: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class HoleImagePage:
    """One photograph of one hole: the question, and the answer once it was asked."""

    page: Frame
    head: OverhaulHead
    back: str
    title: str
    limit: str
    action: str
    form: FormState
    holes: tuple[Option, ...]
    scales: tuple[Option, ...]
    picture: ShownPhotograph
    size: str
    measured: MeasuredShown | None


@dataclass(frozen=True)
class _Asked:
    found: OverhaulPhotographs
    row: PhotographRow
    item: AnyCharacteristic
    typed: Typed


@router.get("/overhauls/{number}/photographs/{photograph_id}/hole-image")
def show_hole_image(request: Request, number: str, photograph_id: RowId, actor: Actor = AtBench) -> Response:
    """The form; once it is filled in, what the photograph shows. Nothing is kept by looking."""
    asked = _asked(shop_of(request), actor, number, photograph_id, typed_query(request))
    return _page(request, actor, asked, None, new_form_key())


@router.post("/overhauls/{number}/photographs/{photograph_id}/hole-evaluations")
def decide(
    request: Request, number: str, photograph_id: RowId, actor: Actor = AtBench, typed: Typed = TypedForm
) -> Response:
    """Accept or reject what was shown."""
    shop = shop_of(request)
    asked = _asked(shop, actor, number, photograph_id, typed)
    try:
        decide_hole_evaluation(
            shop,
            actor,
            number,
            photograph_id,
            form_key=typed.text("form_key"),
            hole=_hole(typed),
            scale=typed_scale(typed),
            digest=typed.text("digest"),
            accepted=_decision(typed),
            reason=typed.text("reason"),
        )
    except DomainError as error:
        status_of_form(error)  # what concerns the page as a whole is raised again
        return _page(request, actor, asked, error, typed.text("form_key") or new_form_key())
    return see_other(f"/overhauls/{number}/examination/{asked.item.key}#photographs", request)


def _asked(shop: Shop, actor: Actor, number: str, photograph_id: int, typed: Typed) -> _Asked:
    found = look_at_photographs(shop, actor, number)
    row = next((one for one in found.rows if one.id == photograph_id), None)
    if row is None:
        raise NotFound("no-photograph", "There is no such photograph.")
    item = found.loaded.record.sheet.characteristic_by_key.get(row.subject)
    if item is None or not holes_of(item):
        raise NotFound("no-holes", "This photograph shows no spray hole.")
    return _Asked(found, row, item, typed)


def _hole(typed: Typed) -> int:
    if not typed.text("hole"):
        raise NoSuchHole("no-hole-number", "Choose the hole that the photograph shows.", "hole")
    return typed.whole("hole", "Hole")


def _decision(typed: Typed) -> bool:
    if typed.text("decision") not in ("accept", "reject"):
        raise Refused("decision", "Accept the evaluation, or reject it.", "reason")
    return typed.text("decision") == "accept"


def _page(request: Request, actor: Actor, asked: _Asked, refused: DomainError | None, form_key: str) -> Response:
    """The page; what was typed is measured, so that a refused decision shows its finding again."""
    shop, typed, loaded = shop_of(request), asked.typed, asked.found.loaded
    number, error, measured = loaded.row.number, None, None
    if typed.fields:
        try:
            made = measure_hole(shop, actor, number, asked.row.id or 0, hole=_hole(typed), scale=typed_scale(typed))
            measured = _shown(number, asked, made, refused, form_key)
        except DomainError as fault:
            status_of_form(fault)
            error = fault
    context = HoleImagePage(
        page=renderer_of(request).frame(f"Hole in a photograph, {loaded.unit.serial}", actor, "/board"),
        head=overhaul_head(loaded, "/examination"),
        back=place_of(number, asked.row.id),
        title=asked.item.title,
        limit=limit_words(asked.item),
        action=f"{place_of(number, asked.row.id)}/hole-image",
        form=typed.shown(error) if typed.fields else FormState(_last_scale(asked)),
        holes=tuple(Option(str(hole), f"Hole {hole}") for hole in range(1, holes_of(asked.item) + 1)),
        scales=SCALES,
        picture=shown_photograph(number, asked.row, subject_words(loaded.record.sheet, asked.row.subject)),
        size=f"{asked.row.width} by {asked.row.height} pixels",
        measured=measured,
    )
    said = refused or error
    return whole_or_part(request, "photographs/hole_image", context, status_of(said) if said else 200)


def _last_scale(asked: _Asked) -> dict[str, str | list[str]]:
    kept = asked.found.evaluations
    return as_typed(kept[-1].scale) if kept else {"scale_by": "pitch"}


def _shown(number: str, asked: _Asked, made: MeasuredHole, refused: DomainError | None, form_key: str) -> MeasuredShown:
    title = f"Hole {asked.typed.text('hole')} as it was found"
    carried = {name: asked.typed.text(name) for name in FIELDS} | {"digest": made.digest}
    state = asked.typed.shown(refused) if refused else FormState()
    return MeasuredShown(
        title=title,
        drawn=overlay(number, asked.row, made.found, title),
        sizes=size_facts(made.found),
        quality=quality_facts(made.found),
        not_nominal=made.found.quality.not_nominal,
        action=f"{place_of(number, asked.row.id)}/hole-evaluations",
        form_key=form_key,
        form=FormState(state.values, state.errors, "decision-"),
        carried=tuple((name, value) for name, value in carried.items() if value),
    )
