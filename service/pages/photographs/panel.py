"""The photographs of one subject as a part of another page, with the form that adds one."""

from collections.abc import Sequence
from dataclasses import dataclass

from service.actions.photographs import OverhaulPhotographs
from service.actions.shop import BENCH, Actor, Shop
from service.pages.hole_words import millimetres
from service.pages.photographs.cards import PhotographCard, card_of, place_of
from service.pages.rendering import FormState, new_form_key
from service.records.overhaul_store import LoadedOverhaul
from service.records.photograph_reads import KeptEvaluation, evaluations_of, photographs_of
from service.workshop.permitted import NotPermitted
from service.workshop.photographs import ARRIVAL, check_photographable, holes_of, subject_words


@dataclass(frozen=True)
class PhotographForm:
    """Adding a photograph; `subject` is '' where it is chosen in the form, `back` names the page to return to."""

    action: str
    key: str
    state: FormState
    subject: str
    back: str


@dataclass(frozen=True)
class PictureFinding:
    """What an accepted evaluation found of one hole."""

    hole: str
    diameter: str
    ovality: str
    roundness: str
    href: str


@dataclass(frozen=True)
class PhotographPanel:
    """The photographs of a subject. `hint` says what to photograph; `findings` what was found by picture."""

    title: str
    hint: str
    cards: tuple[PhotographCard, ...]
    form: PhotographForm | None
    all_href: str
    findings: tuple[PictureFinding, ...]


def panel_of(shop: Shop, actor: Actor, loaded: LoadedOverhaul, subject: str, back: str) -> PhotographPanel:
    """The panel of a subject; `back` is 'overview', 'examination' or 'after-rework'."""
    with shop.store.reading() as session:
        overhaul = loaded.row.id or 0
        found = OverhaulPhotographs(loaded, photographs_of(session, overhaul), evaluations_of(session, overhaul))
    number, shows = loaded.row.number, subject_words(loaded.record.sheet, subject)
    rows = [row for row in found.rows if row.subject == subject]
    holes = holes_of(loaded.record.sheet.characteristic_by_key.get(subject))
    return PhotographPanel(
        title="Photographs of the arrival" if subject == ARRIVAL else "Photographs",
        hint=_hint(subject, holes),
        cards=tuple(card_of(number, row, shows) for row in rows),
        form=photograph_form(number, subject, back) if may_add(actor, loaded) else None,
        all_href=f"/overhauls/{number}/photographs",
        findings=_findings(number, {row.id for row in rows}, found.evaluations),
    )


def photograph_form(number: str, subject: str, back: str) -> PhotographForm:
    """A fresh form."""
    state = FormState(prefix="photograph-")
    return PhotographForm(f"/overhauls/{number}/photographs", new_form_key(), state, subject, back)


def may_add(actor: Actor, loaded: LoadedOverhaul) -> bool:
    """Whether this person may add a photograph to the overhaul now."""
    try:
        check_photographable(loaded.record)
    except NotPermitted:
        return False
    return actor.role in BENCH


def _hint(subject: str, holes: int) -> str:
    if subject == ARRIVAL:
        return "The packing, the plugs, damage, the serial number."
    if holes:
        return "One hole square on, with a scale: open a photograph to measure the hole in it."
    return "What the finding rests on."


def _findings(
    number: str, photographs: set[int | None], evaluations: Sequence[KeptEvaluation]
) -> tuple[PictureFinding, ...]:
    """The newest accepted evaluation of each hole."""
    newest = {one.hole: one for one in evaluations if one.photograph_id in photographs and one.accepted}
    return tuple(
        PictureFinding(
            hole=f"Hole {hole}",
            diameter=millimetres(one.found.mean_diameter),
            ovality=millimetres(one.found.ovality),
            roundness=millimetres(one.found.roundness),
            href=place_of(number, one.photograph_id),
        )
        for hole, one in sorted(newest.items())
    )
