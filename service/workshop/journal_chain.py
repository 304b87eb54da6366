"""The journal as a chain: each row's canonical text, and the hash that binds it to every row before it.

The text is JSON in the canonical form of RFC 8785: members sorted by name, no blanks, strings escaped no more than
they must be. The hash is SHA-256 (FIPS 180-4) over the hash of the row before, as its 64 lower-case hexadecimal
digits, followed by the text in UTF-8. Whoever holds one hash can tell whether any row up to it was touched since.
"""

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass
from json.encoder import encode_basestring as _quoted
from typing import Any

START = "0" * 64
"""Stands for the hash before the first row."""

HASH_DIGITS = 64
COLUMNS = (
    *("action", "after", "at", "before", "id", "person_id", "person_name"),
    *("reason", "subject_id", "subject_kind", "canonical_text", "chain_hash"),
)
"""What of a row is checked, in this order: ten columns that its text repeats, then the text and the hash."""

_NUMBERS = (4, 5)

StoredRow = tuple[str, str, str, str, int, int | None, str, str, str, str, str, str]
"""A row as the database holds it, by `COLUMNS`; `at` is the stored text of the moment."""


def row_text(
    action: str,
    after: str,
    at: str,
    before: str,
    row_id: int,
    person_id: int | None,
    person_name: str,
    reason: str,
    subject_id: str,
    subject_kind: str,
) -> str:
    """The row's canonical JSON text (RFC 8785). Written out, since a hundred thousand a second are checked."""
    person = "null" if person_id is None else person_id
    return (
        f'{{"action":{_quoted(action)},"after":{_quoted(after)},"at":{_quoted(at)},"before":{_quoted(before)},'
        f'"id":{row_id},"person_id":{person},"person_name":{_quoted(person_name)},"reason":{_quoted(reason)},'
        f'"subject_id":{_quoted(subject_id)},"subject_kind":{_quoted(subject_kind)}}}'
    )


def chain_hash(previous: str, text: str) -> str:
    """The hash of a row with that text after a row with that hash, 64 hexadecimal digits.

    Raises UnicodeEncodeError: the text holds half a surrogate pair, which RFC 8785 (3.2.2.2) refuses as well.
    """
    return hashlib.sha256(f"{previous}{text}".encode()).hexdigest()


def is_hash(text: str) -> bool:
    """Whether the text can be a hash at all."""
    return len(text) == HASH_DIGITS and all(sign in "0123456789abcdef" for sign in text)


@dataclass(frozen=True)
class Broken:
    """The first row that is not as it was written, and what was done to it as far as that shows."""

    row_id: int
    sentence: str


@dataclass(frozen=True)
class OutOfOrder:
    """A row that says it was written before the row before it: a clock set back, or two writers at once."""

    row_id: int
    at: str
    before_id: int
    before_at: str


@dataclass(frozen=True)
class Link:
    """Where the chain has been followed to: the last good row, and the hash before it."""

    row_id: int = 0
    at: str = ""
    hash: str = START
    hash_before: str = START


@dataclass(frozen=True)
class Followed:
    """What came of some rows: where the chain is now, the row that breaks it, the rows out of order, heads met."""

    link: Link
    rows: int
    broken: Broken | None
    out_of_order: tuple[OutOfOrder, ...]
    met: tuple[tuple[str, int], ...]


def follow(link: Link, rows: Sequence[StoredRow], wanted: frozenset[str] = frozenset()) -> Followed:
    """Follow the chain from `link` through the next rows in their order, to the first that breaks it.

    `wanted` are hashes to look out for; `met` gives those found, each with its row.
    """
    row_id, at, last, before_last = link.row_id, link.at, link.hash, link.hash_before
    late: list[OutOfOrder] = []
    met: list[tuple[str, int]] = []
    sha256, text_of = hashlib.sha256, row_text
    for place, row in enumerate(rows):
        text, found = row[10], row[11]
        try:
            good = text_of(*row[:10]) == text and sha256(f"{last}{text}".encode()).hexdigest() == found
        except TypeError:  # SQLite keeps a number or bytes in a column of texts where somebody puts them there
            good = False
        if not good:
            here = Link(row_id, at, last, before_last)
            return Followed(here, place, _why_broken(here, row), tuple(late), tuple(met))
        if row[2] < at:
            late.append(OutOfOrder(row[4], row[2], row_id, at))
        if found in wanted:
            met.append((found, row[4]))
        row_id, at, before_last, last = row[4], row[2], last, found
    return Followed(Link(row_id, at, last, before_last), len(rows), None, tuple(late), tuple(met))


def _why_broken(link: Link, row: StoredRow) -> Broken:
    row_id, text = row[4], row[10]
    after = f"row {link.row_id}" if link.row_id else "the start"
    if any(not isinstance(value, str) for place, value in enumerate(row) if place not in _NUMBERS):
        return Broken(row_id, f"Row {row_id} was edited: something in it is no text.")
    if row_text(*row[:10]) != text:
        return Broken(row_id, _how_edited(row))
    if link.row_id and chain_hash(link.hash_before, text) == row[11]:
        return Broken(
            link.row_id, f"Row {link.row_id} was inserted: row {row_id} follows from the row before it, not from it."
        )
    missing = row_id - link.row_id - 1
    if missing > 0:
        which = f"row {row_id - 1} is" if missing == 1 else f"rows {link.row_id + 1} to {row_id - 1} are"
        return Broken(row_id, f"Row {row_id} does not follow from {after}: {which} missing.")
    return Broken(
        row_id,
        f"Row {row_id} does not follow from {after}: it was edited or put there, or {after} was written anew.",
    )


def _how_edited(row: StoredRow) -> str:
    """Which columns say something else than the text that was written with them."""
    row_id = row[4]
    try:
        written: Any = json.loads(row[10])
    except ValueError:
        written = None
    if not isinstance(written, dict):
        return f"Row {row_id} has lost its text, or was put there without one."
    if written.get("id") != row_id:
        return f"Row {row_id} holds the text of row {written.get('id')}: rows were swapped or numbered anew."
    changed = [name for name, value in zip(COLUMNS[:10], row[:10], strict=True) if written.get(name) != value]
    names = ", ".join(name.replace("_", " ") for name in changed)
    return f"Row {row_id} was edited: {names or 'its text'} is not as it was written."
