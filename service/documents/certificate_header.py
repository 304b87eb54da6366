"""What a certificate needs beside the overhaul's record: its number, the parties, the unit, who signs."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, kw_only=True)
class CertificateHeader:
    """Plain values for the head of a release certificate. Times carry a zone and are printed in UTC."""

    number: str
    issued_at: datetime
    signed_by: str
    workshop_name: str
    workshop_address: str
    operator_name: str
    vessel_name: str
    imo_number: str
    engine: str
    cylinder: int
    position: str
    injector_type: str
    """Code of the type."""
    injector_type_name: str
    serial: str
    overhaul_number: str
    consignment_number: str
    received_at: datetime
    running_hours: int | None
    """Hours since the last overhaul, None where the ship does not know them."""
    fuel: str
    reason: str
    packing: str
    remark: str
    sheet_revision: int
    """The workshop's own revision of the limit sheet."""
    check_url: str
    """Where the certificate can be checked; printed and in the QR code."""
    decision_rule: str
    demo: bool
    replaces: str = ""
    """Number of the certificate that this one is issued in place of."""
    replaces_because: str = ""
    """The reason, where that one was in force until then; "" where it had been withdrawn before."""
    journal_head: str = ""
    """Hash of the journal's newest row before the release; '' in what was issued before there was one."""
