"""What every action needs: the store, the clock, the workshop's name; and who acts."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta, tzinfo

from service.actions.analysed_traces import AnalysedTraces
from service.documents.letterhead import Letterhead
from service.documents.signing.keyring import KeyPlaces, Keyring
from service.metrology.errors import DomainError
from service.records.store import Store, TakenMeanwhile
from service.workshop.measurements import BenchTemperature
from service.workshop.reading_budget import USUAL_BENCH
from service.workshop.vocabulary import Role


@dataclass(frozen=True)
class Shop:
    """The workshop as the actions see it. `now` gives the moment in UTC with its zone."""

    store: Store
    now: Callable[[], datetime]
    name: str
    address: str
    public_origin: str
    session_hours: int = 12
    demo: bool = False
    bench: BenchTemperature = USUAL_BENCH
    letterhead: Letterhead = field(default_factory=Letterhead)
    keyring: Keyring = field(default_factory=lambda: Keyring(KeyPlaces()))
    """The keys that sign certificates; without one nothing can be released."""
    zone: tzinfo = UTC
    """Where the workshop stands: a day of its rigs, calibrations and certificates begins at midnight there."""
    traces: AnalysedTraces = field(default_factory=AnalysedTraces, compare=False, repr=False)
    """What the pressure traces show that were looked at last."""

    @property
    def today(self) -> date:
        """The day where the workshop stands."""
        return self.day_of(self.now())

    def day_of(self, moment: datetime) -> date:
        """The workshop's day on which the moment falls."""
        return moment.astimezone(self.zone).date()


@dataclass(frozen=True)
class Actor:
    """Who acts. `operator_id` is set for the ship's office and bounds what it may see."""

    person_id: int
    name: str
    role: Role
    operator_id: int | None = None
    login: str = ""

    @property
    def signature(self) -> tuple[int, str]:
        """Id and name as they go into records and journal."""
        return self.person_id, self.name

    @property
    def fleet(self) -> int | None:
        """The operator whose fleet bounds what lists show; None sees all. An office without operator sees nothing."""
        return (self.operator_id or 0) if self.role is Role.OFFICE else None

    def may_see(self, operator_id: int | None) -> bool:
        """Whether that operator's fleet is this person's to see."""
        return self.role is not Role.OFFICE or (operator_id is not None and operator_id == self.operator_id)


class Refused(DomainError):
    """An action that is not possible as asked."""


class Forbidden(DomainError):
    """The person's role does not allow the action."""


class NotFound(DomainError):
    """No such thing, or not this person's to know."""


class Conflict(DomainError):
    """Somebody else changed the same thing in the meantime; `changes` tells what, newest last."""

    def __init__(self, code: str, sentence: str, changes: tuple[str, ...] = ()) -> None:
        super().__init__(code, sentence)
        self.changes = changes


class TooOften(DomainError):
    """A password was tried too often; `wait` says how long to leave it."""

    def __init__(self, code: str, sentence: str, wait: timedelta) -> None:
        super().__init__(code, sentence, "password")
        self.wait = wait


def status_of(error: DomainError) -> int:
    """The HTTP status that pages and API answer the error with."""
    match error:
        case NotFound():
            return 404
        case Forbidden():
            return 403
        case Conflict() | TakenMeanwhile():
            return 409
        case TooOften():
            return 429
        case _:
            return 422


def require(actor: Actor, *roles: Role) -> None:
    """Raise Forbidden unless the actor has one of the roles."""
    if actor.role not in roles:
        wanted = " or ".join(role.label.lower() for role in roles)
        raise Forbidden("role", f"Only a {wanted} may do this.")


BENCH = (Role.TECHNICIAN, Role.MANAGER)
"""Who works on injectors: a manager may stand in at the bench."""
