"""The demonstration as a whole: an invented workshop with everything that can happen in it, told by its actions."""

from collections.abc import Callable
from datetime import UTC, datetime

from seed_demo import open_stories, past_stories, photograph_stories, recall_stories, recut_stories, sheet_stories
from seed_demo.cast import WORKSHOP_ADDRESS, WORKSHOP_NAME
from seed_demo.clock import Clock
from seed_demo.foundation import lay_foundation
from service.actions.shop import Shop
from service.documents.signing.keyring import Keyring
from service.records.store import Store

STORIES = (
    past_stories.first_visit,
    past_stories.early_visit,
    sheet_stories.sheet_revised,
    past_stories.second_visit,
    recut_stories.faces_ground,
    *past_stories.STORIES[1:],
    recall_stories.gauge_failed,
    *open_stories.STORIES[:-2],
    recut_stories.faces_worn_again,
    *open_stories.STORIES[-2:],
    photograph_stories.holes_photographed,
    sheet_stories.sheet_in_draft,
)
STEPS = 1 + len(STORIES)
"""How often `seed_scenario` reports progress."""


def demo_shop(store: Store, clock: Callable[[], datetime], public_origin: str, keyring: Keyring) -> Shop:
    """The invented workshop over a store."""
    return Shop(
        store=store,
        now=clock,
        name=WORKSHOP_NAME,
        address=WORKSHOP_ADDRESS,
        public_origin=public_origin,
        demo=True,
        keyring=keyring,
    )


def seed_scenario(
    store: Store,
    *,
    keyring: Keyring,
    end: datetime | None = None,
    public_origin: str = "http://127.0.0.1:8000",
    progress: Callable[[str], None] = lambda done: None,
) -> None:
    """Fill a migrated and empty store; every record ends at `end` (now, in UTC) or before it, signed with `keyring`.

    `progress` is called with words after each of the `STEPS`.
    """
    clock = Clock(end or datetime.now(UTC))
    foundation = lay_foundation(demo_shop(store, clock, public_origin, keyring), clock)
    progress("People, fleets, sheets, instruments")
    for story in STORIES:
        story(foundation)
        progress(story.__name__.replace("_", " ").capitalize())
