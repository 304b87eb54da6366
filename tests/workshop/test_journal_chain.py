"""The chain of the journal by itself: what holds, what breaks it, and which row is named."""

import hashlib

from hypothesis import given
from hypothesis import strategies as st

from service.workshop.journal_chain import START, Followed, Link, StoredRow, chain_hash, follow, is_hash, row_text
from tests.journals import chained

FIVE = ("received", "stripped", "examined", "settled", "released")


def sentence(found: Followed) -> str:
    """What is said of the broken row."""
    assert found.broken is not None
    return found.broken.sentence


def changed(row: StoredRow, place: int, value: object) -> StoredRow:
    """The row with one column put anew."""
    return (*row[:place], value, *row[place + 1 :])  # type: ignore[return-value]


def rewritten(row: StoredRow, previous: str) -> StoredRow:
    """The row with the text and the hash that its columns ask for after that hash."""
    written = row_text(*row[:10])
    return (*row[:10], written, chain_hash(previous, written))


def test_a_hash_can_be_checked_with_any_tool_that_knows_sha_256() -> None:
    """The hash before, as text, then the row's text: nothing else, so `sha256sum` answers the same."""
    first, second = chained("a", "b")
    assert first[11] == hashlib.sha256(("0" * 64 + first[10]).encode()).hexdigest()
    assert second[11] == hashlib.sha256((first[11] + second[10]).encode()).hexdigest()


def test_rows_as_they_were_written_follow_from_one_another() -> None:
    rows = chained(*FIVE)
    found = follow(Link(), rows)
    assert (found.broken, found.rows, found.link.row_id, found.link.hash) == (None, 5, 5, rows[-1][11])


@given(st.integers(0, 5), st.integers(0, 5))
def test_it_makes_no_difference_in_what_portions_the_rows_come(first: int, second: int) -> None:
    rows = chained(*FIVE)
    link, late = Link(), []
    for portion in (rows[:first], rows[first:second], rows[max(first, second) :]):
        found = follow(link, portion)
        assert found.broken is None
        link, late = found.link, [*late, *found.out_of_order]
    assert (link, late) == (follow(Link(), rows).link, [])


@given(st.integers(0, 4), st.integers(0, 9))
def test_whatever_column_is_edited_the_row_is_named_with_the_column(place: int, column: int) -> None:
    rows = chained(*FIVE)
    value = 99 if column in (4, 5) else f"{rows[place][column]}!"
    rows[place] = changed(rows[place], column, value)
    found = follow(Link(), rows)
    assert found.broken is not None
    assert found.broken.row_id == rows[place][4]
    assert found.rows == place


def test_an_edited_column_is_named() -> None:
    rows = chained(*FIVE)
    rows[2] = changed(rows[2], 7, "nothing was examined")
    assert sentence(follow(Link(), rows)) == "Row 3 was edited: reason is not as it was written."


def test_a_row_edited_with_its_text_no_longer_follows() -> None:
    rows = chained(*FIVE)
    edited = changed(rows[2], 7, "nothing was examined")
    rows[2] = (*edited[:10], row_text(*edited[:10]), edited[11])
    assert sentence(follow(Link(), rows)).startswith("Row 3 does not follow from row 2: it was edited")


def test_a_row_written_anew_with_its_hash_shows_in_the_next() -> None:
    rows = chained(*FIVE)
    rows[2] = rewritten(changed(rows[2], 7, "nothing was examined"), rows[1][11])
    found = follow(Link(), rows)
    assert sentence(found).startswith("Row 4 does not follow from row 3")
    assert sentence(found).endswith("or row 3 was written anew.")


def test_a_deleted_row_is_named_as_missing() -> None:
    rows = chained(*FIVE)
    assert sentence(follow(Link(), rows[:2] + rows[3:])).endswith("from row 2: row 3 is missing.")
    assert sentence(follow(Link(), rows[:1] + rows[4:])).endswith("from row 1: rows 2 to 4 are missing.")
    assert sentence(follow(Link(), rows[1:])).endswith("from the start: row 1 is missing.")


def test_swapped_rows_are_named() -> None:
    rows = chained(*FIVE)
    rows[1], rows[3] = changed(rows[3], 4, 2), changed(rows[1], 4, 4)
    assert sentence(follow(Link(), rows)) == "Row 2 holds the text of row 4: rows were swapped or numbered anew."


def test_a_row_put_between_two_is_named_although_its_own_hash_is_right() -> None:
    """Where numbers were left free, as PostgreSQL's sequences did before there was a chain."""
    first, second = chained("received", "stripped")
    genuine = rewritten(changed(second, 4, 9), first[11])
    forged = rewritten(changed(second, 7, "never happened"), first[11])
    found = follow(Link(), [first, forged, genuine])
    assert found.broken is not None
    assert found.broken.row_id == 2
    assert sentence(found) == "Row 2 was inserted: row 9 follows from the row before it, not from it."


def test_a_row_without_text_or_with_a_number_for_a_text_is_named_and_nothing_falls_over() -> None:
    rows = chained(*FIVE)
    assert "lost its text" in sentence(follow(Link(), [changed(rows[0], 10, "")]))
    assert "lost its text" in sentence(follow(Link(), [changed(rows[0], 10, "[1]")]))
    assert sentence(follow(Link(), [changed(rows[0], 7, 5)])) == "Row 1 was edited: something in it is no text."
    assert sentence(follow(Link(), [changed(rows[0], 10, None)])) == "Row 1 was edited: something in it is no text."


def test_a_row_dated_before_the_row_before_it_is_named_and_breaks_nothing() -> None:
    rows = chained("a", "b")
    late = rewritten(changed(rows[1], 2, "2026-03-02T07:00:00.000000Z"), rows[0][11])
    found = follow(Link(), [rows[0], late])
    assert found.broken is None
    (named,) = found.out_of_order
    assert (named.row_id, named.at, named.before_id) == (2, "2026-03-02T07:00:00.000000Z", 1)


def test_heads_that_are_looked_for_are_met_with_their_rows() -> None:
    rows = chained(*FIVE)
    assert follow(Link(), rows, frozenset({rows[2][11], "f" * 64})).met == ((rows[2][11], 3),)


def test_a_head_is_sixty_four_hexadecimal_digits() -> None:
    assert is_hash(START)
    assert not any(map(is_hash, ("", "0" * 63, "0" * 65, "g" * 64)))
