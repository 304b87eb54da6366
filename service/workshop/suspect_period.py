"""From when to when the readings of an instrument that failed are in doubt."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from service.workshop.calibration import Calibration, FoundState
from service.workshop.measurements import InstrumentUse


@dataclass(frozen=True)
class SuspectPeriod:
    """`good` is the last calibration that found the instrument within limits, `following` the one after the failed.

    `since` None means from ever. The readings of the days of both calibrations are in doubt as well: nobody knows
    whether they were taken before or after.
    """

    good: Calibration | None
    failed: Calibration | None
    following: Calibration | None
    since: date | None

    @property
    def until(self) -> date | None:
        """The last day in doubt, None for up to now."""
        return None if self.following is None else self.following.on

    def clears(self, use: InstrumentUse) -> bool:
        """Whether a reading was taken after the instrument had been calibrated again."""
        return self.until is not None and use.calibrated_on is not None and use.calibrated_on >= self.until


def suspect_period(
    calibrations: Iterable[Calibration], failed: Calibration | None, since: date | None = None
) -> SuspectPeriod:
    """The period for a failed calibration, or with None up to now for an instrument that was seen to fail.

    `since` is a day chosen instead of the last good calibration. Only a calibration found within limits is good: an
    instrument that had to be adjusted may have been out before. One that was annulled is neither good nor following.
    """
    kept = (one for one in calibrations if one.on is not None and not one.annulled)
    dated = sorted(kept, key=lambda one: one.on or date.min)
    end = None if failed is None else failed.on
    before = [one for one in dated if one is not failed and one.found is FoundState.WITHIN and _until(one, end)]
    after = [one for one in dated if end is not None and one.on is not None and one.on > end]
    good = before[-1] if before else None
    return SuspectPeriod(good, failed, after[0] if after else None, since or (good.on if good else None))


def _until(one: Calibration, end: date | None) -> bool:
    return end is None or (one.on is not None and one.on <= end)
