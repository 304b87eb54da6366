"""Loading the draft and saving an edit of it, at the version that the person saw."""

from collections.abc import Callable

from service.actions.sheets import save_draft
from service.actions.shop import Actor, NotFound, Shop
from service.records.sheet_reads import StoredDraft, stored_draft
from service.workshop.limit_sheet import LimitSheet

Edit = Callable[[LimitSheet], LimitSheet]


def draft_or_404(shop: Shop, code: str) -> StoredDraft:
    """The draft as it stands. Raises NotFound."""
    with shop.store.reading() as session:
        draft = stored_draft(session, code)
    if draft is None:
        raise NotFound("no-draft", f"{code} has no draft: start one first.")
    return draft


def save_edit(shop: Shop, actor: Actor, draft: StoredDraft, version: int, edit: Edit) -> None:
    """Save the edit of the draft seen at `version`. Raises Conflict, and what the edit raises."""
    # A draft that moved on is not edited: saving it unchanged raises the Conflict that tells what moved.
    sheet = edit(draft.sheet) if draft.version == version else draft.sheet
    save_draft(shop, actor, sheet, version=version)
