"""The label that goes on an injector's tray when it is received."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from service.documents.legible_text import legible
from service.documents.printed_values import day
from service.documents.qr import qr_svg
from service.documents.typesetting import set_pdf, set_png

_TEMPLATE = "tray_label"


@dataclass(frozen=True, kw_only=True)
class TrayLabel:
    """What stands on the label; `unit_url` opens the unit's page and is in the QR code."""

    workshop_name: str
    serial: str
    injector_type: str
    overhaul_number: str
    vessel_name: str
    cylinder: int
    due: date | None
    unit_url: str


def tray_label_pdf(label: TrayLabel, printed_at: datetime) -> bytes:
    """One label of 100 mm by 62 mm, dated `printed_at`. Raises ValueError: the time has no zone."""
    return set_pdf(_TEMPLATE, _label_content(label), printed_at)


def tray_label_picture(label: TrayLabel, ppi: float = 200) -> bytes:
    """The label as PNG, for the screen."""
    return set_png(_TEMPLATE, _label_content(label), ppi)[0]


def _label_content(label: TrayLabel) -> dict[str, Any]:
    pairs = [
        ("Overhaul", label.overhaul_number),
        ("Type", label.injector_type),
        ("Cylinder", str(label.cylinder)),
        ("Due", "not agreed" if label.due is None else day(label.due)),
    ]
    return {
        "title": f"Tray label {legible(label.serial)}",
        "workshop_name": legible(label.workshop_name),
        "serial": legible(label.serial),
        "vessel": ["Vessel", legible(label.vessel_name)],
        "pairs": [[name, legible(value)] for name, value in pairs],
        "qr_svg": qr_svg(label.unit_url),
        "qr_alternative": f"QR code that opens the page of this injector: {legible(label.unit_url)}",
    }
