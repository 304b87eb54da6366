"""Where the pages of a test rig are, and the rig that an address names."""

from urllib.parse import quote

from sqlmodel import Session

from service.actions.shop import NotFound, Shop
from service.records.rig_reads import KnownRig, known_rig, rig_row
from service.records.tables import TestRigRow

REGISTER = "/test-rigs"


def place_of(code: str) -> str:
    """The address of a rig's page."""
    return f"{REGISTER}/{quote(code, safe='')}"


def row_of(session: Session, code: str) -> TestRigRow:
    """The rig's row. Raises NotFound."""
    row = rig_row(session, code)
    if row is None:
        raise NotFound("no-rig", "There is no such test rig.")
    return row


def rig_of(shop: Shop, code: str) -> KnownRig:
    """The rig as it stands today. Raises NotFound."""
    with shop.store.reading() as session:
        return known_rig(session, row_of(session, code), shop.today)
