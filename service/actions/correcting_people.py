"""What a manager corrects of a person: name, role, and the password of somebody who forgot it. Each is signed."""

from sqlmodel import Session, col, delete

from service.actions.accounts import keep_a_manager, managers_locked, operator_of_role
from service.actions.passwords import hash_of, refuse_short
from service.actions.shop import Actor, Conflict, NotFound, Refused, Shop, require
from service.actions.signed_acts import signed_change
from service.records.journal import append_journal
from service.records.tables import Operator, Person, SignIn
from service.workshop.vocabulary import Role


def correct_person(
    shop: Shop, actor: Actor, *, person_id: int, name: str, role: Role, operator: str, password: str, version: int
) -> None:
    """Give a person another name, role or, at a ship's office, operator. Records keep the name they were made with.

    A new role or operator ends every sign-in of theirs: what they may do is asked anew. Raises Refused (by its field,
    also where the last manager would lose the role), WrongPassword for the manager's own password, NotFound, Conflict.
    """
    require(actor, Role.MANAGER)
    name = name.strip()
    if not name:
        raise Refused("name", "Give the name as certificates print it.", "name")
    with signed_change(shop, actor, password) as session:
        managers_locked(session)
        person = _person(session, person_id, version)
        before = _told(session, person)
        if person.role == Role.MANAGER.value and person.active and role is not Role.MANAGER:
            keep_a_manager(session, person, "role")
        rights = person.role, person.operator_id
        person.name, person.role = name, role.value
        person.operator_id = operator_of_role(session, role, operator)
        if (person.role, person.operator_id) != rights:
            session.exec(delete(SignIn).where(col(SignIn.person_id) == person_id))
        after = _told(session, person)
        if after == before:
            raise Refused("nothing-changed", "Nothing was changed.", "name")
        _keep(session, shop, actor, person, "person-corrected", before, after)


def give_password(
    shop: Shop, actor: Actor, *, person_id: int, new: str, again: str, password: str, version: int
) -> None:
    """Set a new password for somebody who forgot it; every sign-in of theirs ends. They are told it by the manager.

    Raises Refused (by its field, also for oneself), WrongPassword for the manager's own password, NotFound, Conflict.
    """
    require(actor, Role.MANAGER)
    if person_id == actor.person_id:
        raise Refused("oneself", "Change your own password under “Your account”.", "new")
    refuse_short(new, "new")
    if new != again:
        raise Refused("password-again", "The two new passwords differ: type the same one twice.", "again")
    hashed = hash_of(new)
    with signed_change(shop, actor, password) as session:
        person = _person(session, person_id, version)
        person.password_hash = hashed
        session.exec(delete(SignIn).where(col(SignIn.person_id) == person_id))
        _keep(session, shop, actor, person, "password-given")


def _person(session: Session, person_id: int, version: int) -> Person:
    person = session.get(Person, person_id, with_for_update=True)
    if person is None:
        raise NotFound("no-person", "There is no such person.")
    if person.version != version:
        now = f"{person.name} is {Role(person.role).label.lower()} and {'' if person.active else 'not '}active now."
        raise Conflict("changed", "Somebody changed this since you opened it.", (now,))
    return person


def _told(session: Session, person: Person) -> dict[str, str]:
    operator = session.get(Operator, person.operator_id) if person.operator_id else None
    return {"name": person.name, "role": person.role, "operator": operator.name if operator else ""}


def _keep(
    session: Session,
    shop: Shop,
    actor: Actor,
    person: Person,
    action: str,
    before: dict[str, str] | None = None,
    after: dict[str, str] | None = None,
) -> None:
    person.version += 1
    session.add(person)
    append_journal(
        session,
        at=shop.now(),
        person=actor.signature,
        action=action,
        subject=("person", person.login),
        before=before,
        after=after,
    )
