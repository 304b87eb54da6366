"""People, their passwords and their sign-ins."""

import hashlib
import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from sqlmodel import Session, col, delete, select

from service.actions.password_trials import WrongPassword, forget_failures, password_trial
from service.actions.passwords import hash_of, is_password, refuse_short
from service.actions.shop import Actor, Conflict, Forbidden, NotFound, Refused, Shop, require
from service.records.journal import append_journal
from service.records.registers import operator_by_name
from service.records.tables import Person, SignIn
from service.workshop.vocabulary import Role


@dataclass(frozen=True)
class SignedIn:
    """The token for the browser's cookie or the API's bearer header, and who it stands for."""

    token: str
    actor: Actor


def token_hash(token: str) -> str:
    """How a token is stored: its SHA-256, so that a stolen database signs nobody in."""
    return hashlib.sha256(token.encode()).hexdigest()


def sign_in(shop: Shop, *, login: str, password: str) -> SignedIn:
    """Check login and password and open a session row.

    Raises WrongPassword without saying which of the two was wrong; TooOften, for an unknown login as for a known one.
    """
    login = login.strip().lower()
    with password_trial(shop, login):
        person = _proved(shop, login, password)
    token, now = secrets.token_urlsafe(32), shop.now()
    with shop.store.change() as session:
        session.exec(delete(SignIn).where(col(SignIn.expires_at) < now))
        forget_failures(session, login)
        expires = now + timedelta(hours=shop.session_hours)
        session.add(SignIn(token_hash=token_hash(token), person_id=person.id or 0, created_at=now, expires_at=expires))
    return SignedIn(token, _actor(person))


def _proved(shop: Shop, login: str, password: str) -> Person:
    with shop.store.reading() as session:
        person = session.exec(select(Person).where(Person.login == login)).first()
    good = is_password(password, person.password_hash if person else None)
    if person is None or not good or not person.active:
        raise WrongPassword("sign-in", "Login or password is wrong.", "password")
    return person


def sign_out(shop: Shop, token: str) -> None:
    """End that sign-in for good; replaying its cookie signs nobody in."""
    with shop.store.change() as session:
        session.exec(delete(SignIn).where(col(SignIn.token_hash) == token_hash(token)))


def prove_password(shop: Shop, signer: Actor, password: str) -> str:
    """Raise WrongPassword unless it is the signer's own; gives the proof that `still_proved` takes.

    Asked within a `password_trial` and before a change is begun: it takes its time by design.
    """
    proof = _proof(shop, signer, password)
    if proof is None:
        raise WrongPassword("password", "The password is wrong: nothing was signed.", "password")
    return proof


def _proof(shop: Shop, signer: Actor, password: str) -> str | None:
    with shop.store.reading() as session:
        person = session.get(Person, signer.person_id)
    good = person is not None and person.active and is_password(password, person.password_hash)
    return person.password_hash if person is not None and good else None


def still_proved(session: Session, signer: Actor, proof: str) -> Person:
    """The person; raises Refused where deactivated, or with another password or role, since the proof a moment ago."""
    person = session.get(Person, signer.person_id)
    if person is None or (person.active, person.password_hash, person.role) != (True, proof, signer.role.value):
        raise Refused("password", "Your account was changed a moment ago: sign in again.", "password")
    return person


def add_person(
    shop: Shop, actor: Actor | None, *, login: str, name: str, role: Role, password: str, operator: str = ""
) -> int:
    """Add a person. `actor` None is the command line on the server itself.

    Raises Refused: login taken or odd, password shorter than 12, an office person without operator.
    """
    if actor is not None:
        require(actor, Role.MANAGER)
    login = login.strip().lower()
    if not 2 <= len(login) <= 40 or not all(sign.isalnum() or sign in ".-_@" for sign in login):
        raise Refused("login", "The login has 2 to 40 letters, digits, dots, hyphens, @ or underscores.", "login")
    if not name.strip():
        raise Refused("name", "Give the name as certificates print it.", "name")
    refuse_short(password, "password")
    hashed = hash_of(password)
    with shop.store.change() as session:
        if session.exec(select(Person).where(Person.login == login)).first() is not None:
            raise Refused("login-taken", f"{login} is taken.", "login")
        person = Person(
            login=login,
            name=name.strip(),
            role=role.value,
            operator_id=operator_of_role(session, role, operator),
            password_hash=hashed,
        )
        session.add(person)
        session.flush()
        append_journal(
            session,
            at=shop.now(),
            person=actor.signature if actor else (None, "command line"),
            action="person-added",
            subject=("person", login),
            after={"name": person.name, "role": role.value, "operator": operator},
        )
        return person.id or 0


def set_person_active(shop: Shop, actor: Actor, *, person_id: int, active: bool, version: int) -> None:
    """Let a person sign in again, or no more: that ends every sign-in of theirs at once.

    Raises Refused for one's own account, so that the workshop is never left without a manager; NotFound; Conflict.
    """
    require(actor, Role.MANAGER)
    with shop.store.change() as session:
        person = session.exec(select(Person).where(Person.id == person_id)).first()
        if person is None:
            raise NotFound("no-person", "There is no such person.")
        if person.version != version:
            state = "active" if person.active else "not active"
            raise Conflict("changed", "Somebody changed this since you opened it.", (f"{person.name} is {state} now.",))
        if person.id == actor.person_id:
            raise Refused("oneself", "You cannot stop your own sign-in: another manager does that.")
        if not active:
            keep_a_manager(session, person, "")
        before, person.active = person.active, active
        person.version += 1
        session.add(person)
        if not active:
            session.exec(delete(SignIn).where(col(SignIn.person_id) == person_id))
        append_journal(
            session,
            at=shop.now(),
            person=actor.signature,
            action="person-activated" if active else "person-deactivated",
            subject=("person", person.login),
            before={"active": before},
            after={"active": active},
        )


def managers_locked(session: Session) -> Sequence[Person]:
    """Every active manager. Asked before anybody else's row is locked, so that two who take one away wait in a row."""
    managers = select(Person).where(Person.role == Role.MANAGER.value, col(Person.active)).order_by(col(Person.id))
    return session.exec(managers.with_for_update().execution_options(populate_existing=True)).all()


def keep_a_manager(session: Session, leaving: Person, field: str) -> None:
    """Raise Refused where no other active manager would be left."""
    if {person.id for person in managers_locked(session)} == {leaving.id}:
        raise Refused("last-manager", f"{leaving.name} is the last manager: make another one first.", field)


def change_own_password(shop: Shop, actor: Actor, *, current: str, new: str, again: str, keep_token: str = "") -> None:
    """Take a new password for oneself; every other sign-in of the person ends, the one of `keep_token` stays."""
    refuse_short(new, "new")
    if new != again:
        raise Refused("password-again", "The two new passwords differ: type the same one twice.", "again")
    with password_trial(shop, actor.login):
        proof = _proof(shop, actor, current)
        if proof is None:
            raise WrongPassword("password", "The present password is wrong: nothing was changed.", "current")
    hashed = hash_of(new)
    with shop.store.change() as session:
        person = still_proved(session, actor, proof)
        person.password_hash = hashed
        person.version += 1
        session.add(person)
        session.exec(
            delete(SignIn).where(
                col(SignIn.person_id) == actor.person_id, col(SignIn.token_hash) != token_hash(keep_token)
            )
        )
        append_journal(
            session,
            at=shop.now(),
            person=actor.signature,
            action="password-changed",
            subject=("person", person.login),
        )


def operator_of_role(session: Session, role: Role, operator: str) -> int | None:
    """Whose fleet a person of that role sees: for the ship's office its operator's, which is named; None else.

    Raises Refused where none is named, NotFound where there is no such operator.
    """
    if role is not Role.OFFICE:
        return None
    if not operator.strip():
        raise Refused("operator", "An office person belongs to an operator: name it.", "operator")
    found = operator_by_name(session, operator.strip())
    if found is None:
        raise NotFound("no-operator", f"There is no operator {operator}: add it first.", "operator")
    return found.id


def actor_by_login(session: Session, login: str) -> Actor:
    """The person with that login as an actor. Raises NotFound or Forbidden."""
    person = session.exec(select(Person).where(Person.login == login)).first()
    if person is None:
        raise NotFound("no-person", f"There is no person {login}.")
    if not person.active:
        raise Forbidden("inactive", f"{login} is not active.")
    return _actor(person)


def _actor(person: Person) -> Actor:
    return Actor(
        person_id=person.id or 0,
        name=person.name,
        role=Role(person.role),
        operator_id=person.operator_id,
        login=person.login,
    )
