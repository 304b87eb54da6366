"""One photograph in full, with every hole that was measured in it."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response
from markupsafe import Markup

from service.actions.photographs import look_at_photographs
from service.actions.shop import Actor, NotFound
from service.pages.guards import SignedIn, renderer_of, shop_of
from service.pages.hole_words import quality_facts, size_facts
from service.pages.overhauls.head import OverhaulHead, overhaul_head
from service.pages.overhauls.small_forms import Fact
from service.pages.photographs.cards import alt_of, fitted, picture_of, place_of
from service.pages.photographs.overlay import overlay
from service.pages.photographs.panel import may_add
from service.pages.rendering import Frame, minute
from service.pages.row_ids import RowId
from service.records.photograph_reads import KeptEvaluation
from service.records.tables import PhotographRow
from service.workshop.photographs import holes_of, subject_words
from service.workshop.vocabulary import Role

router = APIRouter()
_SHOWN_PX = 1600


@dataclass(frozen=True)
class ShownPhotograph:
    """The picture of a page: its address, its size there, its words; `across` and `down` count every pixel of it."""

    src: str
    width: int
    height: int
    alt: str
    whole_href: str
    across: int
    down: int


@dataclass(frozen=True)
class EvaluationCard:
    """A hole that was measured, drawn over the photograph."""

    title: str
    decided: str
    reason: str
    drawn: Markup
    sizes: tuple[Fact, ...]
    quality: tuple[Fact, ...]
    not_nominal: tuple[str, ...]


@dataclass(frozen=True)
class PhotographPage:
    """The photograph, what is known of it, what was measured in it; `measure_href` is '' where nothing can be."""

    page: Frame
    head: OverhaulHead
    bench: bool
    album_href: str
    title: str
    picture: ShownPhotograph
    facts: tuple[Fact, ...]
    measure_href: str
    evaluations: tuple[EvaluationCard, ...]


@router.get("/overhauls/{number}/photographs/{photograph_id}")
def show_photograph(request: Request, number: str, photograph_id: RowId, actor: Actor = SignedIn) -> Response:
    """The photograph."""
    found = look_at_photographs(shop_of(request), actor, number)
    row = next((one for one in found.rows if one.id == photograph_id), None)
    if row is None:
        raise NotFound("no-photograph", "There is no such photograph.")
    loaded = found.loaded
    sheet, place = loaded.record.sheet, place_of(loaded.row.number, row.id)
    shows = subject_words(sheet, row.subject)
    measurable = holes_of(sheet.characteristic_by_key.get(row.subject)) > 0
    mine = [one for one in found.evaluations if one.photograph_id == row.id]
    context = PhotographPage(
        page=renderer_of(request).frame(f"Photograph {row.id} of {loaded.unit.serial}", actor),
        head=overhaul_head(loaded, "/photographs"),
        bench=actor.role is not Role.OFFICE,
        album_href=f"/overhauls/{loaded.row.number}/photographs",
        title=shows,
        picture=shown_photograph(loaded.row.number, row, shows),
        facts=_facts(row),
        measure_href=f"{place}/hole-image" if measurable and may_add(actor, loaded) else "",
        evaluations=tuple(_card(loaded.row.number, row, one) for one in reversed(mine)),
    )
    return renderer_of(request).page("photographs/photograph.html", context)


def shown_photograph(number: str, row: PhotographRow, shows: str) -> ShownPhotograph:
    """The picture as a page shows it."""
    width, height = fitted(row, _SHOWN_PX)
    source, whole = picture_of(number, row.id, "shown"), picture_of(number, row.id, "whole")
    return ShownPhotograph(source, width, height, alt_of(row, shows), whole, row.width, row.height)


def _facts(row: PhotographRow) -> tuple[Fact, ...]:
    facts = (
        Fact("Remark", row.remark),
        Fact("Added", f"{row.person_name}, {minute(row.recorded_at)}"),
        Fact("Size", f"{row.width} by {row.height} pixels, {row.size / 1_000_000:.1f} MB"),
        Fact("SHA-256", row.sha256),
    )
    return tuple(fact for fact in facts if fact.value)


def _card(number: str, row: PhotographRow, one: KeptEvaluation) -> EvaluationCard:
    word = "accepted" if one.accepted else "rejected"
    title = f"Hole {one.hole}: {word}"
    return EvaluationCard(
        title=title,
        decided=f"{word.capitalize()} by {one.person_name}, {minute(one.recorded_at)}. Scale: {one.scale.words}.",
        reason=one.reason,
        drawn=overlay(number, row, one.found, title),
        sizes=size_facts(one.found),
        quality=quality_facts(one.found),
        not_nominal=one.found.quality.not_nominal,
    )
