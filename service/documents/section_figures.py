"""The measured sections on a certificate: of each roundness finding the polar plot and what it says in numbers."""

from collections.abc import Iterator
from typing import Any

from service.documents.printed_values import Block
from service.metrology.typed_numbers import plain
from service.workshop.limit_sheet import RoundnessCharacteristic
from service.workshop.measurements import RoundnessMeasurement
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.vocabulary import Phase

_FONT = 'font-family="Libertinus Serif"'  # the document's own: no other is in the file


def section_figures(record: OverhaulRecord) -> Iterator[Block]:
    """One figure for each roundness finding in force, found and after rework, in the sheet's order."""
    for item in record.sheet.characteristics:
        if not isinstance(item, RoundnessCharacteristic):
            continue
        for phase in (Phase.FOUND, Phase.AFTER_REWORK):
            found = record.finding(item.key, phase)
            if found is not None and isinstance(found.measurement, RoundnessMeasurement):
                yield _figure(item, found.measurement, phase)


def section_facts(item: RoundnessCharacteristic, measured: RoundnessMeasurement) -> dict[str, Any]:
    """For machines: the profile as measured, how it was judged, and every deviation in mm, to be checked again."""
    from service.documents.polar_lines import Reference
    from service.metrology.section_form import rounded_mm
    from service.workshop.section_profile import evaluated

    circles = evaluated(item, measured).circles
    found = {one.value: one.of(circles) for one in Reference}
    return {
        "reference": item.reference.value,
        "filter_undulations_per_revolution": item.cutoff_upr,
        "deviations_mm": {
            name: None if one is None else plain(rounded_mm(one.deviation_mm)) for name, one in found.items()
        },
        "columns": measured.columns.value,
        "profile": measured.rows.splitlines(),
    }


def _figure(item: RoundnessCharacteristic, measured: RoundnessMeasurement, phase: Phase) -> Block:
    # NumPy loads with the first section that is evaluated: most certificates have none.
    from service.documents.lobing_words import dominant_in_words
    from service.documents.polar_lines import Reference
    from service.documents.section_plot import section_plot
    from service.metrology.section_form import rounded_mm
    from service.workshop.section_profile import evaluated

    form = evaluated(item, measured)
    plot = section_plot(item, form)
    circles = [(one.label, one.of(form.circles)) for one in Reference]
    again = " after rework" if phase is Phase.AFTER_REWORK else " as found"
    return {
        "kind": "figure",
        "svg": plot.svg.replace('font-family="sans-serif"', _FONT),
        "alternative": plot.description,
        "title": f"{item.title}{again}",
        "rows": [
            ["Judged about", item.evaluation],
            ["Measured", f"{len(measured.rows.splitlines())} points"],
            *([name, f"{plain(rounded_mm(one.deviation_mm))} mm"] for name, one in circles if one is not None),
            ["Lobes", dominant_in_words(form.lobes)],
        ],
    }
