"""What was found, drawn over the photograph as it is shown."""

from markupsafe import Markup

from service.documents.hole_overlay import hole_overlay_svg
from service.metrology.hole_image.findings import HoleEvaluation
from service.pages.photographs.cards import picture_of
from service.records.tables import PhotographRow


def overlay(number: str, row: PhotographRow, found: HoleEvaluation, title: str) -> Markup:
    """The drawing; the smaller picture of the page is stretched to the size that was measured."""
    href = picture_of(number, row.id, "shown")
    # The drawing escapes the two texts that it is given; all else in it are numbers.
    return Markup(hole_overlay_svg(found, href, row.width, row.height, title))
