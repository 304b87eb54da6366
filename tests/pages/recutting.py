"""A seat recut at the bench by the actions, as often as sizes are given. All invented."""

from service.actions.rebuilding import record_rework
from service.actions.settling import answer_proposal, settle_as_proposed, settle_part
from service.actions.shop import Actor, Shop
from service.workshop.vocabulary import Disposition, Phase
from tests.pages.at_the_bench import Injector
from tests.small_findings import sizes


def recut(shop: Shop, injector: Injector, found: str, *after: str, agreed_by: Actor | None = None) -> Injector:
    """Examined, its body reworked once for each size that is measured afterwards; the office asked where it must be."""
    injector.examined(body_seat_width=sizes("MIC-1", found))
    chosen = {"part": "body", "chosen": Disposition.REWORK, "reason": "Seat line broken."}
    settle_part(shop, injector.technician, injector.number, injector.form(), **chosen)  # type: ignore[arg-type]
    settle_as_proposed(shop, injector.technician, injector.number, injector.form())
    if agreed_by is not None:
        agree(shop, injector, agreed_by)
    for size in after:
        rework(shop, injector)
        injector.examine("body-seat-width", sizes("MIC-1", size), Phase.AFTER_REWORK)
    return injector


def agree(shop: Shop, injector: Injector, office: Actor) -> None:
    """The ship's office accepts the work on the body."""
    answer_proposal(shop, office, injector.number, injector.form(), part="body", accepted=True)


def rework(shop: Shop, injector: Injector) -> None:
    record_rework(shop, injector.technician, injector.number, injector.form(), part="body", method="Milled.")
