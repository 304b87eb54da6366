"""The profile of a section at the bench: a text file of points or of a radial trace, or the same typed into a box."""

import re

from service.actions.shop import Refused
from service.metrology.typed_numbers import grouped
from service.pages.choices import options_of
from service.pages.typed_forms import Typed
from service.pages.typed_points import points_shown_again, points_text
from service.workshop.section_profile import MOST_ROWS, MeasuredProfile, profile_from_text
from service.workshop.vocabulary import ProfileColumns

UPLOAD_PATHS = re.compile(
    r"/overhauls/[^/]{1,60}/examination/[^/]{1,200}|/api/v1/overhauls/[^/]{1,60}/examinations", re.ASCII
)
UPLOAD_LIMIT_BYTES = 4_000_000
"""Room for a profile far too long, so that it is refused with words at its field."""
MOST_FILE_BYTES = 3_500_000
COLUMNS = options_of(ProfileColumns)
USUAL: dict[str, str | list[str]] = {"columns": ProfileColumns.POINTS.value}


def typed_profile(typed: Typed) -> MeasuredProfile:
    """What was typed or sent as a file. Raises a DomainError beside its field."""
    columns = typed.choice("columns", ProfileColumns, "Each line holds")
    if len(typed.files.get("file", b"")) > MOST_FILE_BYTES:
        sentence = f"This file is far longer than {grouped(MOST_ROWS)} lines: export the profile with fewer directions."
        raise Refused("file-too-large", sentence, "file")
    return profile_from_text(points_text(typed, columns.label.lower()), columns)


def profile_shown_again(typed: Typed) -> dict[str, str | list[str]]:
    """What was given, back in its fields."""
    return {"points": points_shown_again(typed)}


def profile_field(field: str, typed: Typed) -> str:
    """The field at which an error of the profile is shown: where the profile came from."""
    if field not in ("points", "trace"):
        return field
    return "file" if typed.files.get("file") else "points"
