"""A micrometer that measured needles now at sea again is found out of limits: what a recall is for."""

from seed_demo.calibrations import record_failure
from seed_demo.cast import KARL
from seed_demo.foundation import YEARS_AGO_DAYS, Foundation
from seed_demo.instruments import FAILED, REGISTER


def gauge_failed(on: Foundation) -> None:
    """It came back from the laboratory three weeks ago, reading more and more too much over its range."""
    instrument = next(one for one in REGISTER if one.code == FAILED)
    record_failure(on.shop, on.actor(KARL), on.clock, instrument, YEARS_AGO_DAYS)
