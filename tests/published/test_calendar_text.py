"""Calendar text against the examples printed in RFC 5545 (September 2009)."""

import re

import pytest

from service.documents.due_calendar import escaped, folded

pytestmark = pytest.mark.published


def test_a_text_value_is_escaped_as_the_standard_shows_it() -> None:
    """RFC 5545, 3.3.11: the description "Project XYZ Final Review / Conference Room - 3B / Come Prepared."."""
    multiline = "Project XYZ Final Review\nConference Room - 3B\nCome Prepared."
    assert escaped(multiline) == r"Project XYZ Final Review\nConference Room - 3B\nCome Prepared."


def test_backslash_semicolon_and_comma_are_escaped_and_a_colon_is_not() -> None:
    """RFC 5545, 3.3.11: ESCAPED-CHAR = ("\\\\" / "\\;" / "\\," / "\\N" / "\\n"); a colon shall not be escaped."""
    assert escaped("a\\b;c,d:e") == r"a\\b\;c\,d:e"


def test_a_long_line_is_folded_by_a_line_break_and_one_blank() -> None:
    """RFC 5545, 3.1: lines should not be longer than 75 octets, excluding the break; CRLF and one space are removed."""
    line = "DESCRIPTION:This is a long description that exists on a long line."
    assert folded(line) == line
    longer = f"{line} It goes on and on."
    first, second = folded(longer).split("\r\n")
    assert len(first.encode()) == 75
    assert second.startswith(" ")
    assert re.sub("\r\n ", "", folded(longer)) == longer
