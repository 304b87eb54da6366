"""The draft of the small limit sheet in its editor, as a manager without JavaScript uses it."""

import re

import httpx

from service.actions.shop import Shop
from service.records.sheet_reads import stored_draft
from service.workshop.limit_sheet import LimitSheet
from tests.pages.forms_on_page import PageForm, Visitor, form_of, forms_of

TYPE = "/limit-sheets/SMALL-1"
DRAFT = f"{TYPE}/draft"


def draft(shop: Shop) -> LimitSheet:
    """The draft as it is stored."""
    with shop.store.reading() as session:
        found = stored_draft(session, "SMALL-1")
    assert found is not None
    return found.sheet


def item(section: str, key: str) -> str:
    """The address of that item's form."""
    return f"{DRAFT}/{section}/item?key={key}"


def change(visitor: Visitor, path: str, **typed: str | list[str]) -> httpx.Response:
    """Open the form at that address and send it with what was typed."""
    form = form_of(visitor.get(path), path.partition("?")[0])
    form.fields.update({name: value if isinstance(value, list) else [value] for name, value in typed.items()})
    return visitor.send(form)


def button(visitor: Visitor, action: str, key: str) -> PageForm:
    """The form of the button beside that item."""
    forms = forms_of(visitor.get(DRAFT))
    return next(form for form in forms if form.fields.get("key") == [key] and form.action.endswith(action))


def error_at(answer: httpx.Response, field: str) -> str:
    """The error beside that field, '' without one."""
    found = re.search(rf'id="{field}-error".*?</p>', answer.text, re.DOTALL)
    return re.sub("<[^>]+>", "", found[0]) if found else ""


def approve(visitor: Visitor, path: str = TYPE) -> httpx.Response:
    """Mark that every limit was compared, and approve."""
    return visitor.send(form_of(visitor.get(f"{path}/draft"), "/approvals"), compared="yes")
