"""Pages of a recall: what a failed instrument or a bad batch reaches, as tables, as CSV and as letters."""

from fastapi import APIRouter

from service.pages.recalls import batches, instrument_files, instruments

router = APIRouter()
# An instrument's code may hold a slash, so the files stand before its page, which takes every address below it.
for part in (batches, instrument_files, instruments):
    router.include_router(part.router)
