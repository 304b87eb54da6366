"""Lists inside a form, such as the findings of a visual characteristic: numbered rows, blank ones left out."""

from service.actions.shop import Refused
from service.pages.limit_sheets.forms.fields import Values
from service.pages.typed_forms import Typed
from service.workshop.limit_sheet import FindingChoice
from service.workshop.sheet_editing import key_from
from service.workshop.test_plan import LeakPlace
from service.workshop.vocabulary import FindingOutcome

MOST = 30
SPARE = 3


def rows_typed(typed: Typed, name: str) -> tuple[int, ...]:
    """The numbers of the rows that were sent."""
    return tuple(number for number in range(1, MOST + 1) if f"{name}-{number}-label" in typed.fields)


def finding_values(items: tuple[FindingChoice, ...]) -> Values:
    """The findings as rows."""
    values: Values = {}
    for number, item in enumerate(items, 1):
        row = f"finding-{number}"
        values.update({f"{row}-key": item.key, f"{row}-label": item.label, f"{row}-outcome": item.outcome.value})
    return values


def read_findings(typed: Typed) -> tuple[FindingChoice, ...]:
    """The findings that were typed; a row without words is none."""
    found: list[FindingChoice] = []
    for number in rows_typed(typed, "finding"):
        row = f"finding-{number}"
        label = typed.text(f"{row}-label")
        if label:
            outcome = typed.choice(f"{row}-outcome", FindingOutcome, "What the finding means")
            key = _key(typed.text(f"{row}-key"), label, [item.key for item in found])
            found.append(FindingChoice(key=key, label=label, outcome=outcome))
    return tuple(found)


def place_values(items: tuple[LeakPlace, ...]) -> Values:
    """The places of leaks as rows."""
    values: Values = {}
    for number, item in enumerate(items, 1):
        row = f"place-{number}"
        values.update({f"{row}-key": item.key, f"{row}-label": item.label})
        values.update({f"{row}-points_to": item.points_to, f"{row}-action": item.action})
    return values


def read_places(typed: Typed) -> tuple[LeakPlace, ...]:
    """The places that were typed; a row without words is none."""
    found: list[LeakPlace] = []
    for number in rows_typed(typed, "place"):
        row = f"place-{number}"
        label, points_to = typed.text(f"{row}-label"), typed.text(f"{row}-points_to")
        if label and not points_to:
            raise Refused("points-to", "Say which seal or face a leak at this place accuses.", f"{row}-points_to")
        if label:
            key = _key(typed.text(f"{row}-key"), label, [item.key for item in found])
            found.append(LeakPlace(key=key, label=label, points_to=points_to, action=typed.text(f"{row}-action")))
    return tuple(found)


def _key(old: str, label: str, taken: list[str]) -> str:
    return old or key_from(label, lambda key: key in taken)
