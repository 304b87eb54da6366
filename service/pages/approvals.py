"""Work beyond the standing order: the ship's office accepts or declines it line by line."""

from dataclasses import dataclass
from urllib.parse import quote

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.asked_work import AskedWork, asked_work
from service.actions.settling import answer_proposal
from service.actions.shop import Actor, Conflict, NotFound, Refused
from service.pages.guards import Office, renderer_of, shop_of
from service.pages.overhauls.small_forms import PageForms, Refusal, SmallForm, attempt
from service.pages.overhauls.whole_or_part import whole_or_part
from service.pages.rendering import FormState, Frame, see_other, wants_fragment
from service.pages.typed_forms import Typed, TypedForm

router = APIRouter()

_ANSWERED = {
    "accepted": "Accepted: the workshop goes on with this work.",
    "declined": "Declined: the workshop settles the part again.",
}


@dataclass(frozen=True)
class AskedLine:
    """One line with its form; `held` says why it cannot be answered now, '' where it can."""

    id: str
    serial: str
    serial_href: str
    type_code: str
    vessel: str
    overhaul: str
    part: str
    part_name: str
    proposed: str
    reasons: tuple[str, ...]
    held: str
    form: SmallForm


@dataclass(frozen=True)
class ApprovalsPage:
    """What waits for the office's answer. `done` tells the answer just given, `unplaced` a refusal without its line.

    `unsent` is the remark typed for a line that does not wait any more.
    """

    page: Frame
    lines: tuple[AskedLine, ...]
    count: str
    done: str
    unplaced: FormState
    unsent: str


@router.get("/approvals")
def show_approvals(request: Request, answered: str = "", actor: Actor = Office) -> Response:
    """The lines that wait."""
    return _page(request, actor, None, _ANSWERED.get(answered, ""))


@router.post("/overhauls/{number}/answers")
def answer(request: Request, number: str, typed: Typed = TypedForm, actor: Actor = Office) -> Response:
    """Accept or decline one line."""
    refusal = attempt(lambda: _give(request, actor, number, typed), _line_id(number, typed.text("part")), typed)
    if refusal is not None:
        return _page(request, actor, refusal)
    answered = typed.text("answer")
    if wants_fragment(request):
        return _page(request, actor, None, _ANSWERED[answered])
    return see_other(f"/approvals?answered={answered}", request)


def _give(request: Request, actor: Actor, number: str, typed: Typed) -> None:
    answered, part = typed.text("answer"), typed.text("part")
    if answered not in _ANSWERED:
        raise Refused("answer-missing", "Choose: accept the work or decline it.", "answer")
    accepted = answered == "accepted"
    try:
        answer_proposal(
            shop_of(request), actor, number, typed.form, part=part, accepted=accepted, note=typed.text("note")
        )
    except NotFound as error:
        if error.code != "no-line":
            raise
        sentence = "The workshop changed this since you opened the page: the line does not wait for an answer any more."
        raise Conflict("changed", sentence) from error


def _page(request: Request, actor: Actor, refusal: Refusal | None, done: str = "") -> Response:
    asked = asked_work(shop_of(request), actor)
    lines = tuple(_line(one, refusal) for one in asked)
    placed = PageForms(0, refusal, [line.id for line in lines])
    injectors = len({one.overhaul.number for one in asked})
    context = ApprovalsPage(
        page=renderer_of(request).frame("Work to approve", actor, "/approvals"),
        lines=lines,
        count=f"{_counted(len(lines), 'line')} on {_counted(injectors, 'injector')}" if lines else "",
        done=done,
        unplaced=placed.unplaced,
        unsent=_remark(refusal) if refusal and placed.unplaced.errors else "",
    )
    return whole_or_part(request, "approvals/approvals", context, placed.status)


def _remark(refusal: Refusal) -> str:
    return (refusal.typed.fields.get("note") or ("",))[0]


def _line(asked: AskedWork, refusal: Refusal | None) -> AskedLine:
    overhaul, line = asked.overhaul, asked.line
    held = overhaul.record.held
    line_id = _line_id(overhaul.number, line.part)
    forms = PageForms(overhaul.record.last_seq, refusal)
    return AskedLine(
        id=line_id,
        serial=overhaul.serial,
        serial_href=f"/units/{quote(overhaul.serial)}?type={quote(overhaul.type_code)}",
        type_code=overhaul.type_code,
        vessel=overhaul.vessel,
        overhaul=overhaul.number,
        part=line.part,
        part_name=line.part_name,
        proposed=line.disposition.label,
        reasons=line.reasons,
        held=held.reason if held else "",
        form=forms.form(line_id, f"/overhauls/{overhaul.number}/answers"),
    )


def _line_id(number: str, part: str) -> str:
    return f"answer-{number}-{part}"


def _counted(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"
