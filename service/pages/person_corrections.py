"""Correcting a person: name, role, fleet; and a new password for somebody who forgot it."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.correcting_people import correct_person, give_password
from service.actions.passwords import PASSWORD_LEAST
from service.actions.shop import Actor, NotFound
from service.metrology.errors import DomainError
from service.pages.choices import Option, options_of
from service.pages.guards import Manager, renderer_of, shop_of
from service.pages.refused_form import seen_again, status_of_form
from service.pages.rendering import FormState, Frame, new_form_key, see_other
from service.pages.row_ids import RowId
from service.pages.typed_forms import Typed, TypedForm
from service.records.register_reads import PersonLine, operator_names, person_line
from service.workshop.vocabulary import Role

router = APIRouter(prefix="/people/{person_id}")


@dataclass(frozen=True)
class CorrectionPage:
    """The form of what may be corrected of one person."""

    page: Frame
    person: PersonLine
    me: bool
    form: FormState
    form_key: str
    seen: int
    roles: tuple[Option, ...]
    operators: tuple[Option, ...]


@dataclass(frozen=True)
class NewPasswordPage:
    """The form of a new password for one person."""

    page: Frame
    person: PersonLine
    form: FormState
    form_key: str
    seen: int
    password_least: int


@router.get("/correction")
def show_correction(request: Request, person_id: RowId, actor: Actor = Manager) -> Response:
    """The person as they stand."""
    person = _person_or_404(request, person_id)
    as_is = {"name": person.name, "role": person.role.value, "operator": person.operator}
    return _correction(request, actor, person, FormState(as_is), person.version)


@router.post("/correction")
def correct(request: Request, person_id: RowId, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Correct the person."""
    person = _person_or_404(request, person_id)
    try:
        correct_person(
            shop_of(request),
            actor,
            person_id=person_id,
            name=typed.text("name"),
            role=typed.choice("role", Role, "Role"),
            operator=typed.text("operator"),
            password=typed.password,
            version=typed.version,
        )
    except DomainError as error:
        status, seen = status_of_form(error), seen_again(typed, error, person.version)
        return _correction(request, actor, person, typed.shown(error), seen, status)
    return see_other("/people", request)


@router.get("/password")
def show_new_password(request: Request, person_id: RowId, actor: Actor = Manager) -> Response:
    """An empty form."""
    person = _person_or_404(request, person_id)
    return _password(request, actor, person, FormState(), person.version)


@router.post("/password")
def set_new_password(request: Request, person_id: RowId, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Set the password."""
    person = _person_or_404(request, person_id)
    new, again = ((typed.fields.get(name) or ("",))[0] for name in ("new", "again"))  # as typed, with its blanks
    try:
        give_password(
            shop_of(request),
            actor,
            person_id=person_id,
            new=new,
            again=again,
            password=typed.password,
            version=typed.version,
        )
    except DomainError as error:
        status, seen = status_of_form(error), seen_again(typed, error, person.version)
        return _password(request, actor, person, typed.shown(error), seen, status)
    return see_other("/people", request)


def _person_or_404(request: Request, person_id: int) -> PersonLine:
    with shop_of(request).store.reading() as session:
        person = person_line(session, person_id)
    if person is None:
        raise NotFound("no-person", "There is no such person.")
    return person


def _correction(
    request: Request, actor: Actor, person: PersonLine, form: FormState, seen: int, status: int = 200
) -> Response:
    renderer = renderer_of(request)
    with shop_of(request).store.reading() as session:
        operators = tuple(Option(name, name) for _, name in operator_names(session))
    context = CorrectionPage(
        page=renderer.frame(f"Correct {person.name}", actor, "/people"),
        person=person,
        me=person.id == actor.person_id,
        form=form,
        form_key=new_form_key(),
        seen=seen,
        roles=options_of(Role),
        operators=operators,
    )
    return renderer.page("people/correction.html", context, status)


def _password(
    request: Request, actor: Actor, person: PersonLine, form: FormState, seen: int, status: int = 200
) -> Response:
    renderer = renderer_of(request)
    context = NewPasswordPage(
        page=renderer.frame(f"New password for {person.name}", actor, "/people"),
        person=person,
        form=form,
        form_key=new_form_key(),
        seen=seen,
        password_least=PASSWORD_LEAST,
    )
    return renderer.page("people/new_password.html", context, status)
