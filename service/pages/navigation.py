"""The main navigation of each role."""

from dataclasses import dataclass, replace

from service.workshop.vocabulary import Role


@dataclass(frozen=True)
class NavItem:
    """One entry; `current` marks where the person is."""

    href: str
    label: str
    current: bool = False


_BENCH = (NavItem("/board", "Board"), NavItem("/consignments/new", "Receive"))
_RIGS = NavItem("/test-rigs", "Test rigs")
_CALCULATORS = NavItem("/calculators", "Calculators")
_NAVIGATION = {
    Role.TECHNICIAN: (*_BENCH, _RIGS, NavItem("/instruments", "Instruments"), _CALCULATORS),
    Role.MANAGER: (
        *_BENCH,
        NavItem("/fleets", "Fleets"),
        NavItem("/limit-sheets", "Limit sheets"),
        _RIGS,
        NavItem("/instruments", "Instruments"),
        _CALCULATORS,
        NavItem("/decision-rule", "Decision rule"),
        NavItem("/people", "People"),
        NavItem("/journal", "Journal"),
    ),
    Role.OFFICE: (NavItem("/fleet", "Our injectors"), NavItem("/approvals", "Work to approve")),
}


def navigation(role: Role, current: str) -> tuple[NavItem, ...]:
    """The role's entries, the current one marked."""
    return tuple(replace(item, current=item.href == current) for item in _NAVIGATION[role])


def home_of(role: Role) -> str:
    """Where that role starts."""
    return "/fleet" if role is Role.OFFICE else "/board"
