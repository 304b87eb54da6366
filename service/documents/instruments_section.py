"""The instruments behind a certificate's values, as the register held them at the moment of use."""

from service.documents.printed_values import Block, cell, day, row, table, text, uncertainty_text
from service.workshop.measurements import InstrumentUse
from service.workshop.narration import instruments_of
from service.workshop.overhaul_record import OverhaulRecord

_COLUMNS = ("Code", "Kind", "U (k = 2)", "Calibration, made on", "Due")


def instruments_used(record: OverhaulRecord) -> tuple[InstrumentUse, ...]:
    """Each instrument once for each calibration that it was used under, by code."""
    uses = dict.fromkeys(use for entry in record.entries for use in instruments_of(entry.content))
    return tuple(sorted(uses, key=lambda use: (use.code, use.due)))


def instruments_block(record: OverhaulRecord) -> Block:
    """Code, kind, expanded uncertainty, calibration reference with its day, and due date."""
    rows = [
        row(
            cell(use.code),
            cell(use.kind.label),
            cell(uncertainty_text(use).removeprefix("U = ") or "none stated"),
            cell(f"{use.calibration}, {day(use.calibrated_on)}" if use.calibrated_on else use.calibration),
            cell(day(use.due)),
        )
        for use in instruments_used(record)
    ]
    return table("instruments", _COLUMNS, rows) if rows else text("No instrument was used.")
