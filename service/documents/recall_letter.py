"""The letter that tells an operator which of its injectors a failed instrument or a bad batch reaches."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from service.documents.legible_text import legible
from service.documents.printed_values import day
from service.documents.typesetting import set_pdf
from service.workshop.cautions import cautions

_TEMPLATE = "recall_letter"
_DEMO = "DEMONSTRATION: every name, figure and finding in this letter is invented"
_CLOSING = "The maker’s instructions, local rules, class requirements and licensed practice come first."


@dataclass(frozen=True, kw_only=True)
class LetterLine:
    """One row of the letter's table, `what` in two lines."""

    serial: str
    where: str
    certificate: str
    """'' where none was issued."""
    what: str
    detail: str
    consequence: str


@dataclass(frozen=True, kw_only=True)
class RecallLetter:
    """What the letter says. `lines` are what needs an answer, `others` the serials that need none."""

    workshop_name: str
    workshop_address: str
    operator: str
    subject: str
    happened: Sequence[str]
    """What happened, sentence by sentence, the sender's words."""
    lines: Sequence[LetterLine]
    others: Sequence[str]
    asked: Sequence[str]
    signed_by: str
    demo: bool


def recall_letter_pdf(letter: RecallLetter, at: datetime) -> bytes:
    """The letter on A4, dated `at`. Raises ValueError: the time has no zone."""
    return set_pdf(_TEMPLATE, _content(letter, at), at)


def _content(letter: RecallLetter, at: datetime) -> dict[str, Any]:
    return {
        "title": f"Recall: {legible(letter.subject)}",
        "workshop_name": legible(letter.workshop_name),
        "workshop_address": legible(letter.workshop_address),
        "operator": legible(letter.operator),
        "date": day(at),
        "happened": [legible(one) for one in letter.happened],
        "columns": ["Injector", "Certificate", "What", "What follows"],
        "rows": [_row(line) for line in letter.lines],
        "others": legible(", ".join(dict.fromkeys(letter.others))),
        "asked": [legible(one) for one in letter.asked],
        "cautions": [[one.title, one.text] for one in cautions("depressurise", "injection", "spring", "heavy")],
        "closing": _CLOSING,
        "signed_by": legible(letter.signed_by),
        "demo": _DEMO if letter.demo else "",
    }


def _row(line: LetterLine) -> list[list[str]]:
    return [
        [legible(line.serial), legible(line.where)],
        [legible(line.certificate) or "none issued", ""],
        [legible(line.what), legible(line.detail)],
        [legible(line.consequence), ""],
    ]
