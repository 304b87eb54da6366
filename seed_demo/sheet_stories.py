"""The lives of the limit sheets: one was revised between two visits, one has a draft that waits for approval."""

from dataclasses import replace

from seed_demo.cast import AUXILIARY, KARL, TWO_STROKE
from seed_demo.foundation import Foundation, approve_sheet, sheet_file
from service.actions.sheets import import_sheet
from service.records.sheet_file import sheet_from_json, sheet_to_json


def sheet_revised(on: Foundation) -> None:
    """The invented instruction was issued anew: later overhauls start under revision 2, earlier ones stay on 1."""
    on.clock.at(500)
    text = sheet_file(TWO_STROKE).read_text(encoding="utf-8")
    approve_sheet(on.shop, on.actor(KARL), TWO_STROKE, text)


def sheet_in_draft(on: Foundation) -> None:
    """A draft that nobody has approved yet: fewer discs allowed."""
    on.clock.at(3)
    sheet = sheet_from_json(sheet_file(AUXILIARY).read_text(encoding="utf-8"))
    draft = replace(sheet, document_revision="C", discs_added_max=4)
    import_sheet(on.shop, on.actor(KARL), sheet_to_json(draft), type_code=AUXILIARY)
