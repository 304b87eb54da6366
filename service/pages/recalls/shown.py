"""How the rows of a recall are put into words, for pages and for files alike."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from urllib.parse import quote

from service.actions.recall_summary import OperatorReached, where_now
from service.actions.recalling import InstrumentRecall, RecalledReading
from service.pages.instruments.places import plain_day
from service.pages.rendering import day
from service.records.recall_reads import RecalledInjector

SHOWN = 200
"""Rows of a table on the page; the file holds them all."""


@dataclass(frozen=True)
class OperatorLine:
    """An operator with the letter that goes to it."""

    name: str
    injectors: int
    letter: str


def operator_lines(operators: Iterable[OperatorReached], letter: str, query: str) -> tuple[OperatorLine, ...]:
    """`letter` is the address before the operator's number, `query` what stands behind it."""
    return tuple(OperatorLine(one.name, one.injectors, f"{letter}/{one.id}.pdf{query}") for one in operators)


def unit_href(injector: RecalledInjector) -> str:
    """The page of the injector."""
    return f"/units/{quote(injector.serial, safe='')}?type={quote(injector.type_code, safe='')}"


def certificate_href(injector: RecalledInjector) -> str:
    """The certificate's file, '' where none was issued."""
    return f"/certificates/{quote(injector.certificate, safe='')}.pdf" if injector.certificate else ""


def period_in_words(since: date | None, until: date | None) -> str:
    """The days in doubt."""
    start = f"from {plain_day(since)}" if since else "from the first reading"
    return f"{start} to {plain_day(until)}" if until else f"{start} up to now"


def taken(one: RecalledReading) -> str:
    """When and by whom."""
    return f"{day(one.entry.at)}, {one.entry.person}"


def standing(one: RecalledReading) -> str:
    """Whether the reading still counts."""
    return "" if one.entry.stands else "Replaced by a later entry."


def rule_note(found: InstrumentRecall) -> str:
    """Said where a verdict names no rule that can be read."""
    if all(one.again.rule_as_stored for one in found.readings):
        return ""
    return "Some verdicts name no rule that can be read: those were judged again under the rule now in force."


def place(injector: RecalledInjector) -> str:
    """Where it is, with the vessel's IMO number."""
    where = where_now(injector)
    return f"{where} (IMO {injector.imo_number})" if where == injector.vessel else where
