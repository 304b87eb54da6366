"""Tables for spreadsheets, read back by Python's own reader of RFC 4180."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as some

from service.documents.guarded_csv import csv_file, guarded


def read(content: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline=""), strict=True))


@given(some.lists(some.text(some.characters(codec="utf-8", exclude_characters="\x00")), min_size=1, max_size=5))
def test_every_cell_is_read_back_but_for_the_apostrophe(cells: list[str]) -> None:
    head, row = read(csv_file([f"c{n}" for n in range(len(cells))], [cells]))
    assert len(head) == len(row) == len(cells)
    assert [one in (cell, f"'{cell}") for one, cell in zip(row, cells, strict=True)] == [True] * len(cells)


def test_the_file_begins_with_the_mark_and_its_lines_end_by_crlf() -> None:
    content = csv_file(["a", "b"], [["1", "x, y"], ["2", 'say "no"']])
    assert content == b'\xef\xbb\xbfa,b\r\n1,"x, y"\r\n2,"say ""no"""\r\n'


@pytest.mark.parametrize("cell", ["=1+1", "+SUM(A1)", "-2+3", "@x", "\t=1", " =1", "\r=1", "＝1", '=HYPERLINK("x")'])
def test_no_spreadsheet_calculates_a_cell(cell: str) -> None:
    assert guarded(cell) == f"'{cell}"


@pytest.mark.parametrize("cell", ["-0.002", "+0,5", "12", "SN-1", "a=b", ""])
def test_numbers_and_plain_words_stay_as_they_are(cell: str) -> None:
    assert guarded(cell) == cell
