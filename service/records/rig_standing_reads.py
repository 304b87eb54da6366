"""How the rigs in use stand on a day, in one statement: for the pages that tell of them in passing."""

from dataclasses import dataclass
from datetime import date

from service.records.board_reads import stored_day
from service.records.store import Store
from service.workshop.test_rig import last_day_of_oil


@dataclass(frozen=True, slots=True)
class RigStanding:
    """A rig in use; `good` is what the newest check of the day found, None where there was none.

    `oil_due` is the last day of its oil, None without an interval or without oil.
    """

    code: str
    good: bool | None
    oil_due: date | None


_STANDINGS = (
    "SELECT r.code, (SELECT c.good FROM test_rig_check c WHERE c.rig_id = r.id AND c.checked_on = ? "
    "ORDER BY c.id DESC LIMIT 1), r.oil_days, (SELECT o.changed_on FROM test_rig_oil o WHERE o.rig_id = r.id "
    "ORDER BY o.changed_on DESC, o.id DESC LIMIT 1) FROM test_rig r WHERE r.in_use ORDER BY r.code"
)


def rig_standings(store: Store, on: date) -> tuple[RigStanding, ...]:
    """Every rig in use by its code."""
    return tuple(
        RigStanding(
            code,
            None if good is None else bool(good),
            None if changed is None else last_day_of_oil(stored_day(changed), days),
        )
        for code, good, days, changed in store.rows(_STANDINGS, (on.isoformat(),))
    )
