"""The calendar file by the rules of RFC 5545, read again by an independent reader (the `icalendar` package)."""

import re
from datetime import UTC, date, datetime, timedelta, timezone

import icalendar
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.documents.due_calendar import DayEvent, calendar_text, escaped, folded

WORDS = st.text(st.characters(exclude_categories=["Cs"]), max_size=200)


def event(**changes: object) -> DayEvent:
    """A due day."""
    fields: dict[str, object] = {
        "uid": "instrument-7-due@shop.invalid",
        "sequence": 3,
        "revised_at": datetime(2026, 3, 2, 9, 30, tzinfo=timezone(timedelta(hours=1))),
        "day": date(2027, 1, 31),
        "summary": "MIC-1: calibration due",
        "description": "Micrometer\nBench 1; shelf 2, left \\ right",
        "url": "https://shop.invalid/instruments/MIC-1",
    }
    return DayEvent(**{**fields, **changes})  # type: ignore[arg-type]


def read(text: str) -> icalendar.Event:
    """The one event as the independent reader understands it."""
    (found,) = icalendar.Calendar.from_ical(text).walk("VEVENT")
    assert isinstance(found, icalendar.Event)
    return found


def test_the_file_has_what_the_standard_requires_in_every_calendar_and_event() -> None:
    """RFC 5545, 3.6 (PRODID and VERSION), 3.6.1 (UID and DTSTAMP; DTSTART without METHOD)."""
    text = calendar_text("Due", [event()])
    calendar = icalendar.Calendar.from_ical(text)
    assert (calendar["VERSION"], str(calendar["PRODID"])) == ("2.0", "-//Spindlebook//Calibrations due//EN")
    found = read(text)
    assert found["UID"] == "instrument-7-due@shop.invalid"
    assert found["DTSTAMP"].dt == datetime(2026, 3, 2, 8, 30, tzinfo=UTC)
    assert found["DTSTART"].dt == date(2027, 1, 31)
    assert (found["SEQUENCE"], found["TRANSP"]) == (3, "TRANSPARENT")
    assert "DTEND" not in found
    assert "METHOD" not in calendar


def test_one_event_keeps_its_name_while_its_day_moves() -> None:
    before, after = read(calendar_text("Due", [event()])), read(calendar_text("Due", [event(day=date(2028, 2, 29))]))
    assert before["UID"] == after["UID"]
    assert after["DTSTART"].dt == date(2028, 2, 29)


def test_a_calendar_without_events_is_still_one() -> None:
    assert icalendar.Calendar.from_ical(calendar_text("Due", [])).walk("VEVENT") == []


@given(WORDS.map(lambda words: words.replace("\\", "/")), WORDS.map(lambda words: words.replace("\\", "/")))
def test_any_words_come_back_from_a_reader_as_they_were_written(summary: str, description: str) -> None:
    found = read(calendar_text("Due", [event(summary=summary, description=description)]))
    for name, words in (("SUMMARY", summary), ("DESCRIPTION", description)):
        newlines = re.sub(r"\r\n?", "\n", words)
        assert str(found[name]) == re.sub(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]", "", newlines)


@given(WORDS)
def test_a_backslash_is_escaped_as_the_standard_writes_it(words: str) -> None:
    """RFC 5545, 3.3.11, read by its grammar: the independent reader undoes the escapes of "\\," twice."""
    text = escaped(words)
    assert re.fullmatch(r"(?:[^\\;,\n]|\\[\\;,nN])*", text)
    back = re.sub(r"\\(.)", lambda found: "\n" if found[1] in "nN" else found[1], text)
    newlines = re.sub(r"\r\n?", "\n", words)
    assert back == re.sub(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]", "", newlines)


@given(WORDS)
def test_no_line_is_longer_than_75_octets_and_none_is_cut_inside_a_character(words: str) -> None:
    """RFC 5545, 3.1."""
    text = calendar_text(words, [event(description=words)])
    assert text.endswith("END:VCALENDAR\r\n")
    for line in text.encode().split(b"\r\n"):
        assert len(line) <= 75
        line.decode()
        assert b"\n" not in line
        assert b"\r" not in line


@given(WORDS)
def test_unfolding_gives_the_line_back(words: str) -> None:
    line = f"DESCRIPTION:{escaped(words)}"
    assert re.sub(r"\r\n[ \t]", "", folded(line)) == line


def test_words_cannot_begin_a_property_of_their_own() -> None:
    sly = "x\r\nEND:VEVENT\r\nBEGIN:VALARM\nATTACH:file:///etc/passwd"
    assert calendar_text("Due", [event(summary=sly)]).count("\r\nEND:VEVENT\r\n") == 1
    assert "\r\nATTACH" not in calendar_text("Due", [event(summary=sly)])


def test_a_moment_without_a_zone_is_refused() -> None:
    with pytest.raises(ValueError, match="time zone"):
        calendar_text("Due", [event(revised_at=datetime(2026, 3, 2))])  # noqa: DTZ001
