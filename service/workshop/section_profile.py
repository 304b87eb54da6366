"""The measured profile of one section: read from a file or from rows, kept as text, evaluated as its sheet says."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from service.metrology.typed_numbers import grouped, plain
from service.workshop.examination.refusal import ExaminationRefused
from service.workshop.limit_sheet import RoundnessCharacteristic
from service.workshop.measurements import RoundnessMeasurement
from service.workshop.vocabulary import ProfileColumns, RoundnessReference

if TYPE_CHECKING:  # NumPy loads with the first section that is evaluated: the server starts without it
    from service.metrology.measured_points import Floats
    from service.metrology.roundness import ReferenceCircle, Roundness
    from service.metrology.section_form import SectionForm

MOST_ROWS = 3600
"""Ten to a degree, enough for a filter at 500 undulations per revolution."""


@dataclass(frozen=True, kw_only=True)
class MeasuredProfile:
    """What was measured, one pair to a line as `RoundnessMeasurement` keeps it."""

    columns: ProfileColumns
    rows: str


def profile_from_text(text: str, columns: ProfileColumns) -> MeasuredProfile:
    """A profile from a text file or from what was typed: two numbers to a line, a header or none.

    Raises MetrologyError as `parse_points` and `radial_trace` do, or ExaminationRefused `too-many-rows`; field `points`
    or `trace`.
    """
    from service.metrology.point_lists import parse_points

    words = columns.label[0].lower() + columns.label[1:]
    pairs = parse_points(text, words)
    return _kept([f"{first!r};{second!r}" for first, second in pairs.tolist()], columns)


def profile_from_rows(rows: Sequence[tuple[Decimal, Decimal]], columns: ProfileColumns) -> MeasuredProfile:
    """A profile from pairs of numbers, x and y in mm or direction in degrees and radius in mm; raises as above."""
    if not rows:
        raise ExaminationRefused("points-missing", "There is no point: measure all round the section.", "points")
    return _kept([f"{plain(first)};{plain(second)}" for first, second in rows], columns)


def profile_points(columns: ProfileColumns, rows: str) -> "Floats":
    """The profile as points (n, 2) in mm, those of a trace about its centre of rotation; raises as above."""
    from service.metrology.point_lists import parse_points
    from service.metrology.radial_trace import radial_trace

    pairs = parse_points(rows)
    return pairs if columns is ProfileColumns.POINTS else radial_trace(pairs[:, 1], pairs[:, 0]).points_mm()


def evaluated(item: RoundnessCharacteristic, profile: MeasuredProfile | RoundnessMeasurement) -> "SectionForm":
    """The section with the filter that the sheet names; raises as `section_form` does."""
    from service.metrology.section_form import section_form

    return section_form(profile_points(profile.columns, profile.rows), item.cutoff_upr)


def reference_circle(circles: "Roundness", reference: RoundnessReference) -> "ReferenceCircle | None":
    """That circle among the four; None where no circle is inscribed and it is asked for."""
    match reference:
        case RoundnessReference.MINIMUM_ZONE:
            return circles.minimum_zone
        case RoundnessReference.LEAST_SQUARES:
            return circles.least_squares
        case RoundnessReference.MINIMUM_CIRCUMSCRIBED:
            return circles.minimum_circumscribed
        case RoundnessReference.MAXIMUM_INSCRIBED:
            return circles.maximum_inscribed


@dataclass(frozen=True, slots=True)
class FoundForm:
    """What the sheet's limit is compared with, both in mm to a hundredth of a micrometre."""

    deviation: Decimal
    across: Decimal
    """Diameter of the reference circle."""


def found_form(item: RoundnessCharacteristic, form: "SectionForm") -> FoundForm:
    """Deviation and size about the sheet's circle. Raises ExaminationRefused where the points leave none inscribed."""
    from service.metrology.section_form import rounded_mm

    circle = reference_circle(form.circles, item.reference)
    if circle is None:
        sentence = "No circle is inscribed in these points: measure all round the section."
        raise ExaminationRefused("not-surrounded", sentence, "points")
    return FoundForm(rounded_mm(circle.deviation_mm), rounded_mm(2 * circle.radius_mm))


def check_rows(count: int) -> None:
    """Refuse more rows than are kept with a finding. Raises ExaminationRefused, field `points`."""
    if count > MOST_ROWS:
        sentence = (
            f"The profile has {grouped(count)} rows; at most {grouped(MOST_ROWS)} are kept with a finding. It is not "
            "thinned here, since a peak could be lost: export it with fewer directions, after the filter that the "
            "sheet names."
        )
        raise ExaminationRefused("too-many-rows", sentence, "points")


def _kept(lines: list[str], columns: ProfileColumns) -> MeasuredProfile:
    check_rows(len(lines))
    rows = "\n".join(lines)
    profile_points(columns, rows)
    return MeasuredProfile(columns=columns, rows=rows)
