"""Pages of the limit sheets: what is in force, reading a revision, and the editor of the draft."""

from fastapi import APIRouter

from service.pages.limit_sheets import class_limits, class_pins, draft, draft_head, draft_items, revisions, types

router = APIRouter()
for part in (class_limits, class_pins, types, revisions, draft, draft_head, draft_items):
    router.include_router(part.router)
