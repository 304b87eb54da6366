"""Pages of the test rigs: the list for the bench, one rig with its checks and fillings, the forms of each."""

from fastapi import APIRouter

from service.pages.test_rigs import card, check, oil, register, rig

router = APIRouter()
# A rig's code may hold a slash, so its own page comes last: it takes every address that nothing else took.
for part in (register, card, check, oil, rig):
    router.include_router(part.router)
