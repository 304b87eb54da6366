"""How a page answers a form that was refused, and what it must pass on instead."""

from service.actions.shop import Conflict, Forbidden, NotFound, Refused, status_of
from service.metrology.errors import DomainError
from service.pages.rendering import FormState
from service.pages.typed_forms import Typed


def status_of_form(error: DomainError) -> int:
    """409 or 422 for the form shown again. Raises the error when it concerns the page as a whole, not a field."""
    if isinstance(error, NotFound | Forbidden):
        if not error.field:
            raise error
        return 422
    return status_of(error)


def chosen_id(typed: Typed, name: str, sentence: str) -> int:
    """The number of a row chosen from a list; `sentence` says what to choose where nothing is."""
    text = typed.text(name)
    if not (text.isascii() and text.isdigit() and len(text) < 10):
        raise Refused("choice", sentence, name)
    return int(text)


def seen_again(typed: Typed, error: DomainError | None, current: int) -> int:
    """The version for the form shown again: the present one once its changes are shown, else what the person saw."""
    text = typed.text("seen")
    if isinstance(error, Conflict) or not (text.isascii() and text.isdigit() and len(text) < 10):
        return current
    return int(text)


def with_lists(form: FormState, typed: Typed, *names: str) -> FormState:
    """The form with these names as lists, also where one box only was ticked."""
    return FormState({**form.values, **{name: list(typed.many(name)) for name in names}}, form.errors, form.prefix)
