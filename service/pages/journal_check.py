"""Whether the journal is as it was written: followed on request, where it is short enough for a page."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.shop import Actor
from service.pages.guards import Manager, renderer_of, shop_of
from service.pages.rendering import FormState, Frame
from service.records.journal_verification import count_journal, verify_journal
from service.records.record_check import check_records
from service.records.store import Store
from service.workshop.journal_chain import is_hash

router = APIRouter(prefix="/journal/check")

MOST_ROWS = 50_000
"""A longer journal is left to the command line: a page that takes seconds keeps the bench waiting."""


@dataclass(frozen=True)
class Found:
    """The answer in a word and in sentences; `head` is '' where nothing was followed."""

    kind: str
    label: str
    sentences: tuple[str, ...]
    head: str = ""
    row: int = 0


@dataclass(frozen=True)
class JournalCheckPage:
    """What was found, and the form that asks for a head noted elsewhere."""

    page: Frame
    form: FormState
    found: Found


@router.get("")
def show_check(request: Request, head: str = "", actor: Actor = Manager) -> Response:
    """Follow the journal now, and look for a head noted on a certificate or in a letter."""
    renderer = renderer_of(request)
    asked = "".join(head.split()).lower()[:200]
    wrong = {"head": "A head has 64 digits and letters a to f: copy it whole."} if asked and not is_hash(asked) else {}
    found = _followed(shop_of(request).store, "" if wrong else asked)
    frame = renderer.frame("Check the journal", actor, "/journal")
    context = JournalCheckPage(frame, FormState({"head": asked}, wrong), found)
    return renderer.page("journal/check.html", context, 422 if wrong else 200)


def _followed(store: Store, head: str) -> Found:
    rows = count_journal(store)
    if rows > MOST_ROWS:
        sentence = f"It has {rows} rows, too many for a page. On the server run: spindlebook journal verify"
        return Found("not-measured", "Not checked here", (sentence,))
    report = verify_journal(store, head=head)
    faults = report.faults or tuple(filter(None, (check_records(store).fault,)))
    if faults:
        return Found("does-not-conform", "Not as it was written", faults, report.head, report.last_row)
    good = [f"{report.rows} rows follow from one another, and the records are as they tell."]
    if report.head_row is not None:
        good.append(f"The head that you gave is that of row {report.head_row}.")
    if report.out_of_order_count:
        late = f"{report.out_of_order_count} rows are dated before the row before them"
        good.append(f"{late}, by a clock set back or by two people at once.")
    return Found("conforms", "As it was written", tuple(good), report.head, report.last_row)
