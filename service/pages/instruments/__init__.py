"""Pages of the register of instruments: the list, one instrument with its history, calibrations, what is due."""

from fastapi import APIRouter

from service.pages.instruments import annulments, calibrations, due, instrument, register, register_entry, scans, states

router = APIRouter()
# An instrument's code may hold a slash, so its own page comes last: it takes every address that nothing else took.
for part in (register, due, register_entry, calibrations, annulments, scans, states, instrument):
    router.include_router(part.router)
