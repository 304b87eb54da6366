"""Where the pages of an instrument are, and dates as they are written there."""

from datetime import date
from urllib.parse import quote

from service.actions.shop import NotFound, Shop
from service.records.instrument_reads import InstrumentHistory, instrument_history


def place_of(code: str) -> str:
    """The address of an instrument's page."""
    return f"/instruments/{quote(code, safe='')}"


def plain_day(day: date | None) -> str:
    """A date as people write it across languages: 31 Jan 2026; '' for none."""
    return "" if day is None else f"{day.day} {day:%b %Y}"


def history_of(shop: Shop, code: str) -> InstrumentHistory:
    """The instrument with its history. Raises NotFound."""
    with shop.store.reading() as session:
        found = instrument_history(session, code)
    if found is None:
        raise NotFound("no-instrument", "There is no such instrument.")
    return found
