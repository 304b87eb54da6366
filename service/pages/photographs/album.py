"""Every photograph of an overhaul by what it shows, and adding one."""

from dataclasses import dataclass
from urllib.parse import quote

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.photographs import OverhaulPhotographs, add_photograph, look_at_photographs
from service.actions.shop import Actor
from service.metrology.errors import DomainError
from service.pages.choices import Option
from service.pages.guards import AtBench, SignedIn, renderer_of, shop_of
from service.pages.overhauls.head import OverhaulHead, overhaul_head
from service.pages.photographs.cards import PhotographCard, card_of
from service.pages.photographs.panel import PhotographForm, may_add
from service.pages.photographs.upload import BACK
from service.pages.refused_form import status_of_form
from service.pages.rendering import FormState, Frame, new_form_key, see_other
from service.pages.typed_forms import Typed, TypedForm
from service.workshop.photographs import ARRIVAL, subject_words
from service.workshop.vocabulary import Role

router = APIRouter()


@dataclass(frozen=True)
class AlbumSection:
    """The photographs of one subject."""

    title: str
    cards: tuple[PhotographCard, ...]


@dataclass(frozen=True)
class AlbumPage:
    """All photographs; `bench` shows the steps of the overhaul, which the ship's office has no part in."""

    page: Frame
    head: OverhaulHead
    bench: bool
    sections: tuple[AlbumSection, ...]
    form: PhotographForm | None
    subjects: tuple[Option, ...]


@router.get("/overhauls/{number}/photographs")
def show_album(request: Request, number: str, subject: str = ARRIVAL, actor: Actor = SignedIn) -> Response:
    """All of them; `subject` is chosen in the form already."""
    found = look_at_photographs(shop_of(request), actor, number)
    return _page(request, actor, found, FormState({"subject": subject[:200]}), new_form_key())


# The guard stands first: nobody who does not work at the bench has the body read.
@router.post("/overhauls/{number}/photographs")
def send_photograph(request: Request, number: str, actor: Actor = AtBench, typed: Typed = TypedForm) -> Response:
    """Keep one photograph, then back to where it was added."""
    shop = shop_of(request)
    found = look_at_photographs(shop, actor, number)
    try:
        add_photograph(
            shop,
            actor,
            number,
            form_key=typed.text("form_key"),
            subject=typed.text("subject"),
            content=typed.files.get("picture", b""),
            remark=typed.text("remark"),
        )
    except DomainError as error:
        status = status_of_form(error)
        return _page(request, actor, found, typed.shown(error), typed.text("form_key") or new_form_key(), status)
    back = BACK.get(typed.text("back"), "/photographs")
    return see_other(f"/overhauls/{number}{back.format(subject=quote(typed.text('subject'), safe=''))}", request)


def _page(
    request: Request, actor: Actor, found: OverhaulPhotographs, state: FormState, form_key: str, status: int = 200
) -> Response:
    loaded, sheet = found.loaded, found.loaded.record.sheet
    number = loaded.row.number
    subjects = (ARRIVAL, *(item.key for item in sheet.characteristics))
    sections = tuple(
        AlbumSection(shows, cards)
        for subject in subjects
        for shows in (subject_words(sheet, subject),)
        if (cards := tuple(card_of(number, row, shows) for row in found.rows if row.subject == subject))
    )
    back = str(state.values.get("back", ""))
    form = PhotographForm(f"/overhauls/{number}/photographs", form_key, state, "", back)
    context = AlbumPage(
        page=renderer_of(request).frame(f"Photographs of {loaded.unit.serial}", actor),
        head=overhaul_head(loaded, "/photographs"),
        bench=actor.role is not Role.OFFICE,
        sections=sections,
        form=form if may_add(actor, loaded) or state.errors else None,
        subjects=tuple(Option(subject, subject_words(sheet, subject)) for subject in subjects),
    )
    return renderer_of(request).page("photographs/album.html", context, status)
