"""What the managers and the ships' offices decide in the scenario."""

from seed_demo.cast import MIRA, CastPerson
from seed_demo.foundation import Foundation
from seed_demo.passage import Passage
from service.actions.course import condemn, return_unrepaired
from service.actions.issuing import Issued
from service.actions.releasing import sign_release
from service.actions.settling import answer_proposal, decide_concession, settle_part
from service.workshop.agreement import agreement_lines
from service.workshop.disposition import propose
from service.workshop.vocabulary import Disposition


def release(on: Foundation, passage: Passage, manager: CastPerson = MIRA) -> Issued:
    """The manager signs with the password."""
    on.clock.wait(20)
    return sign_release(on.shop, on.actor(manager), passage.number, passage.form(), password=manager.password)


def keep_against_the_rule(on: Foundation, passage: Passage, part: str, reason: str) -> None:
    """The technician keeps a part that the rules would replace: this asks for a concession."""
    on.clock.wait(5)
    settle_part(
        on.shop,
        passage.technician,
        passage.number,
        passage.form(),
        part=part,
        chosen=Disposition.KEEP,
        reason=reason,
    )


def concede(on: Foundation, passage: Passage, part: str, reason: str, *, granted: bool = True) -> None:
    """The manager grants or refuses the concession."""
    on.clock.wait(60)
    decide_concession(
        on.shop,
        on.actor(MIRA),
        passage.number,
        passage.form(),
        part=part,
        granted=granted,
        reason=reason,
        password=MIRA.password,
    )


def answer(on: Foundation, passage: Passage, office: CastPerson, note: str, *, accepted: bool) -> None:
    """The ship's office answers every line that is open."""
    on.clock.wait(90)
    record = passage.record
    for line in agreement_lines(record, propose(record)):
        if line.accepted is None:
            answer_proposal(
                on.shop,
                on.actor(office),
                passage.number,
                passage.form(),
                part=line.part,
                accepted=accepted,
                note=note,
            )


def scrap(on: Foundation, passage: Passage, reason: str) -> None:
    """The manager condemns the injector."""
    on.clock.wait(30)
    condemn(on.shop, on.actor(MIRA), passage.number, passage.form(), reason=reason, password=MIRA.password)


def send_back(on: Foundation, passage: Passage, reason: str) -> None:
    """The manager returns the injector unrepaired."""
    on.clock.wait(30)
    return_unrepaired(on.shop, on.actor(MIRA), passage.number, passage.form(), reason=reason)
