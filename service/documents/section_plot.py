"""The polar plot of a section as its limit sheet has it judged."""

from service.documents.polar_lines import Reference
from service.documents.polar_plot import PolarPlot, polar_plot
from service.metrology.section_form import SectionForm
from service.workshop.limit_sheet import RoundnessCharacteristic


def section_plot(item: RoundnessCharacteristic, form: SectionForm, drawing_id: str = "section") -> PolarPlot:
    """The profile after its filter about the sheet's reference circle, with the least-squares circle and the limit."""
    about = reference_of(item)
    return polar_plot(
        form.points_mm,
        form.circles,
        about=about,
        shown=(about, Reference.LEAST_SQUARES),
        limit_mm=float(item.limit),
        title=item.title,
        drawing_id=drawing_id,
    )


def reference_of(item: RoundnessCharacteristic) -> Reference:
    """The sheet's reference circle as the plot names it."""
    return Reference(item.reference.value.replace("-", "_"))
