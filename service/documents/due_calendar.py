"""An iCalendar file (RFC 5545) of all-day events, for calendar programs that subscribe to it."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime

_LINE_OCTETS = 75
_CONTROLS = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")


@dataclass(frozen=True)
class DayEvent:
    """Something that falls on one day. `uid` stays the same when the day moves, and `sequence` then grows."""

    uid: str
    sequence: int
    revised_at: datetime
    day: date
    summary: str
    description: str
    url: str


def calendar_text(name: str, events: Iterable[DayEvent]) -> str:
    """The whole calendar object (RFC 5545, 3.4): one VEVENT a day event, lines folded, ended by CRLF.

    Without METHOD, DTSTAMP is when the event was last revised (3.8.7.2). Raises ValueError for a moment without zone.
    """
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//Spindlebook//Calibrations due//EN",
        "CALSCALE:GREGORIAN",
        f"NAME:{escaped(name)}",  # RFC 7986, 5.1
        f"X-WR-CALNAME:{escaped(name)}",
        "REFRESH-INTERVAL;VALUE=DURATION:PT12H",  # RFC 7986, 5.7
    ]
    for event in events:
        lines += _event_lines(event)
    lines.append("END:VCALENDAR")
    return "".join(f"{folded(line)}\r\n" for line in lines)


def escaped(text: str) -> str:
    """A TEXT value (RFC 5545, 3.3.11): backslash, semicolon, comma and newline escaped, other controls left out."""
    plain = _CONTROLS.sub("", text.replace("\r\n", "\n").replace("\r", "\n"))
    for sign in ("\\", ";", ","):
        plain = plain.replace(sign, f"\\{sign}")
    return plain.replace("\n", "\\n")


def folded(line: str) -> str:
    """A content line in pieces of at most 75 octets without their break (RFC 5545, 3.1), no character cut in two."""
    pieces, piece, octets = [], "", 0
    for sign in line:
        size = len(sign.encode())
        if octets + size > _LINE_OCTETS:
            pieces.append(piece)
            piece, octets = " ", 1
        piece, octets = piece + sign, octets + size
    return "\r\n".join((*pieces, piece))


def _event_lines(event: DayEvent) -> list[str]:
    if event.revised_at.tzinfo is None:
        raise ValueError("a moment without a time zone has no place in a calendar")
    stamp = f"{event.revised_at.astimezone(UTC):%Y%m%dT%H%M%SZ}"
    return [
        "BEGIN:VEVENT",
        f"UID:{escaped(event.uid)}",
        f"DTSTAMP:{stamp}",
        f"LAST-MODIFIED:{stamp}",
        f"SEQUENCE:{event.sequence}",
        f"DTSTART;VALUE=DATE:{event.day:%Y%m%d}",  # without DTEND it lasts that day (3.6.1)
        f"SUMMARY:{escaped(event.summary)}",
        f"DESCRIPTION:{escaped(event.description)}",
        f"URL:{event.url}",
        "TRANSP:TRANSPARENT",  # nobody is busy by it
        "END:VEVENT",
    ]
