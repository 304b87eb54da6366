"""People who may sign in: adding them, letting them in or out; and everybody's own password."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.accounts import add_person, change_own_password, set_person_active
from service.actions.passwords import PASSWORD_LEAST
from service.actions.shop import Actor
from service.metrology.errors import DomainError
from service.pages.choices import Option, options_of
from service.pages.guards import Manager, SignedIn, cookie_name, renderer_of, shop_of
from service.pages.refused_form import status_of_form
from service.pages.rendering import FormState, Frame, Notice, new_form_key, see_other
from service.pages.row_ids import RowId
from service.pages.typed_forms import Typed, TypedForm
from service.records.register_reads import PersonLine, operator_names, people
from service.workshop.vocabulary import Role

router = APIRouter(prefix="/people")


@dataclass(frozen=True)
class PersonRow:
    """A person as the list shows it; `me` is the reader, who cannot put out themselves."""

    line: PersonLine
    where: str
    me: bool


@dataclass(frozen=True)
class PeoplePage:
    """Everybody who may sign in, and who once could."""

    page: Frame
    rows: tuple[PersonRow, ...]
    form_key: str


@dataclass(frozen=True)
class PersonPage:
    """The form for a new person."""

    page: Frame
    form: FormState
    form_key: str
    roles: tuple[Option, ...]
    operators: tuple[Option, ...]
    password_least: int


@dataclass(frozen=True)
class OwnPage:
    """One's own account."""

    page: Frame
    name: str
    login: str
    role_label: str
    form: FormState
    form_key: str
    password_least: int


@router.get("")
def show_people(request: Request, actor: Actor = Manager) -> Response:
    """The list."""
    return _list(request, actor)


@router.get("/new")
def show_new(request: Request, actor: Actor = Manager) -> Response:
    """An empty form."""
    return _form(request, actor, FormState(), new_form_key())


@router.post("")
def add(request: Request, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Add a person."""
    try:
        add_person(
            shop_of(request),
            actor,
            login=typed.text("login"),
            name=typed.text("name"),
            role=typed.choice("role", Role, "Role"),
            password=_as_typed(typed, "password"),
            operator=typed.text("operator"),
        )
    except DomainError as error:
        status = status_of_form(error)
        return _form(request, actor, typed.shown(error), typed.text("form_key"), status)
    return see_other("/people", request)


@router.post("/{person_id}/activity")
def let_in_or_out(request: Request, person_id: RowId, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Deactivate a person, or activate them again."""
    try:
        set_person_active(
            shop_of(request), actor, person_id=person_id, active=typed.ticked("active"), version=typed.version
        )
    except DomainError as error:
        status = status_of_form(error)
        return _list(request, actor, Notice("problem", " ".join(typed.shown(error).errors.values())), status)
    return see_other("/people", request)


@router.get("/me")
def show_me(request: Request, actor: Actor = SignedIn) -> Response:
    """One's own account, for every role."""
    return _me(request, actor, FormState(), new_form_key())


@router.post("/me/password")
def change_password(request: Request, actor: Actor = SignedIn, typed: Typed = TypedForm) -> Response:
    """Take a new password."""
    shop = shop_of(request)
    try:
        change_own_password(
            shop,
            actor,
            current=_as_typed(typed, "current"),
            new=_as_typed(typed, "new"),
            again=_as_typed(typed, "again"),
            keep_token=request.cookies.get(cookie_name(shop), ""),
        )
    except DomainError as error:
        return _me(request, actor, typed.shown(error), typed.text("form_key"), status=status_of_form(error))
    done = Notice("done", "Your password is changed. Wherever else you were signed in, sign in again.")
    return _me(request, actor, FormState(), new_form_key(), done)


def _as_typed(typed: Typed, name: str) -> str:
    """A password with its blanks, as it was typed."""
    return (typed.fields.get(name) or ("",))[0]


def _list(request: Request, actor: Actor, notice: Notice | None = None, status: int = 200) -> Response:
    renderer = renderer_of(request)
    with shop_of(request).store.reading() as session:
        rows = tuple(
            PersonRow(line, line.operator or "Workshop", line.id == actor.person_id) for line in people(session)
        )
    frame = renderer.frame("People", actor, "/people", notice)
    return renderer.page("people/people.html", PeoplePage(frame, rows, new_form_key()), status)


def _form(request: Request, actor: Actor, form: FormState, form_key: str, status: int = 200) -> Response:
    renderer = renderer_of(request)
    with shop_of(request).store.reading() as session:
        operators = tuple(Option(name, name) for _, name in operator_names(session))
    frame = renderer.frame("Add a person", actor, "/people")
    context = PersonPage(frame, form, form_key, options_of(Role), operators, PASSWORD_LEAST)
    return renderer.page("people/person.html", context, status)


def _me(
    request: Request, actor: Actor, form: FormState, form_key: str, notice: Notice | None = None, status: int = 200
) -> Response:
    renderer = renderer_of(request)
    context = OwnPage(
        page=renderer.frame("Your account", actor, "", notice),
        name=actor.name,
        login=actor.login,
        role_label=actor.role.label,
        form=form,
        form_key=form_key,
        password_least=PASSWORD_LEAST,
    )
    return renderer.page("people/me.html", context, status)
