"""A clock that the scenario winds on, so that its records carry the times at which they would have been made."""

from datetime import UTC, date, datetime, time, timedelta


class Clock:
    """Gives the scenario's moment in UTC. It never runs past the moment at which the demonstration was made."""

    def __init__(self, end: datetime) -> None:
        self._end = end
        self._moment = end

    def __call__(self) -> datetime:
        """The moment, as `Shop.now` wants it."""
        return min(self._moment, self._end)

    @property
    def today(self) -> date:
        """The day on which the scenario ends."""
        return self._end.date()

    def at(self, days_ago: int, hour: int = 7) -> None:
        """Turn to the morning so many days before the end."""
        day = self._end.date() - timedelta(days=days_ago)
        self._moment = datetime.combine(day, time(hour, 0), tzinfo=UTC)

    def after(self, moment: datetime) -> None:
        """Turn to five minutes after a moment at which something was recorded."""
        self._moment = moment + timedelta(minutes=5)

    def wait(self, minutes: int) -> None:
        """Let so many minutes go by; work stops for the night at four in the afternoon."""
        self._moment += timedelta(minutes=minutes)
        if self._moment.hour >= 16:
            next_day = self._moment.date() + timedelta(days=1)
            self._moment = datetime.combine(next_day, time(7, 0), tzinfo=UTC)
