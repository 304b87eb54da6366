"""Several small forms on one page: the one that was refused is shown again as typed, the others fresh."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from service.actions.shop import Forbidden, NotFound, status_of
from service.metrology.errors import DomainError
from service.pages.refused_form import seen_again
from service.pages.rendering import FormState, new_form_key
from service.pages.typed_forms import Typed, errors_of


@dataclass(frozen=True)
class Fact:
    """A label with its value; `note` is the same said in another unit."""

    label: str
    value: str
    note: str = ""


@dataclass(frozen=True)
class Link:
    """Somewhere to go."""

    href: str
    label: str


@dataclass(frozen=True)
class SmallForm:
    """One form of a page: where it goes, its key, the last entry seen, how it is shown; `refused`: it came back."""

    action: str
    key: str
    seen: int
    state: FormState
    refused: bool


@dataclass(frozen=True)
class Refusal:
    """The form that was refused: which one of the page's, what was typed in it, and why."""

    form_id: str
    typed: Typed
    error: DomainError


@dataclass(frozen=True)
class PageForms:
    """Makes the forms of one page, with at most one of them refused. `seen` is the newest entry that it shows."""

    seen: int
    refusal: Refusal | None = None
    made: list[str] = field(default_factory=list)

    def form(
        self,
        form_id: str,
        action: str,
        values: Mapping[str, str | list[str]] | None = None,
        lists: tuple[str, ...] = (),
    ) -> SmallForm:
        """The form with that id. `values` fill a fresh one; `lists` names the fields with several boxes."""
        self.made.append(form_id)
        # What is typed and not sent is kept by the form's address: the query tells forms of one address apart.
        address, prefix = f"{action}?form={form_id}", f"{form_id}-"
        if self.refusal is None or self.refusal.form_id != form_id:
            return SmallForm(address, new_form_key(), self.seen, FormState(dict(values or {}), {}, prefix), False)
        typed, error = self.refusal.typed, self.refusal.error
        shown = typed.shown(error)
        listed = {name: list(typed.fields.get(name, ())) for name in lists}
        state = replace(shown, values={**shown.values, **listed}, prefix=prefix)
        key = typed.text("form_key") or new_form_key()
        return SmallForm(address, key, seen_again(typed, error, self.seen), state, True)

    @property
    def unplaced(self) -> FormState:
        """The refusal of a form that the page does not show any more; asked after all forms are made."""
        if self.refusal is None or self.refusal.form_id in self.made:
            return FormState()
        return FormState({}, {"": " ".join(errors_of(self.refusal.error).values())})

    @property
    def status(self) -> int:
        """200, or what the refusal is answered with."""
        return 200 if self.refusal is None else status_of(self.refusal.error)


def attempt(act: Callable[[], object], form_id: str, typed: Typed) -> Refusal | None:
    """Do it, or give the refusal to show in the form. What is not there or not allowed is raised: no form mends it."""
    try:
        act()
    except (NotFound, Forbidden):
        raise
    except DomainError as error:
        return Refusal(form_id, typed, error)
    return None
