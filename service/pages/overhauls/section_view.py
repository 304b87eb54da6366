"""A measured section at the bench: the polar plot with its limit, the four reference circles, the lobes."""

from dataclasses import dataclass

from markupsafe import Markup

from service.metrology.typed_numbers import grouped
from service.pages.lobing_view import LobingShown, lobing_shown
from service.workshop.entries import Examined
from service.workshop.limit_sheet import AnyCharacteristic, RoundnessCharacteristic
from service.workshop.measurements import RoundnessMeasurement


@dataclass(frozen=True)
class CircleShown:
    """One reference circle in mm, and whether the sheet asks for it."""

    name: str
    radius: str
    deviation: str
    asked: bool


@dataclass(frozen=True)
class SectionShown:
    """What the profile says beyond its verdict."""

    drawing: Markup
    in_words: str
    basis: str
    circles: tuple[CircleShown, ...]
    lobing: LobingShown | None


def section_shown(item: AnyCharacteristic, found: Examined | None) -> SectionShown | None:
    """The section of a roundness finding, None for any other one."""
    if found is None or not isinstance(item, RoundnessCharacteristic):
        return None
    if not isinstance(found.measurement, RoundnessMeasurement):
        return None
    # NumPy loads with the first section that is evaluated: the server starts without it.
    from service.documents.polar_lines import Reference
    from service.documents.section_plot import reference_of, section_plot
    from service.metrology.section_form import rounded_mm
    from service.workshop.section_profile import evaluated

    form = evaluated(item, found.measurement)
    plot = section_plot(item, form)
    circles = tuple(
        CircleShown(
            name=one.label,
            radius=f"{rounded_mm(circle.radius_mm):f}",
            deviation=f"{rounded_mm(circle.deviation_mm):f}",
            asked=one is reference_of(item),
        )
        for one in Reference
        if (circle := one.of(form.circles)) is not None
    )
    measured = len(found.measurement.rows.splitlines())
    return SectionShown(
        # Plot and bars are made of `service.documents.drawing`, which escapes what it writes.
        drawing=Markup(plot.svg),
        in_words=plot.description,
        basis=f"{grouped(measured)} points measured; {item.evaluation}.",
        circles=circles,
        lobing=lobing_shown(form.lobes),
    )
