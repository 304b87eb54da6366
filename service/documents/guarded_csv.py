"""Tables for spreadsheets: CSV by RFC 4180, safe to open.

UTF-8 with a byte order mark: without it the spreadsheets of an office PC take the file for an old code page and spoil
every name that is not plain English. A cell that a spreadsheet would calculate is led by an apostrophe; a plain number
is left as it is.
"""

import csv
import io
import re
from collections.abc import Iterable, Sequence

_NUMBER = re.compile(r"[+-]?\d+(?:[.,]\d+)?", re.ASCII)
_CALCULATED = re.compile(r"\s*[=+\-@\t\r\n＝＋－＠]")


def csv_file(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """The table as a file, its head first; lines end by CRLF (RFC 4180, 2)."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(columns)
    writer.writerows([guarded(cell) for cell in row] for row in rows)
    return text.getvalue().encode("utf-8-sig")


def guarded(cell: str) -> str:
    """The cell so that no spreadsheet reads a formula into it."""
    if _CALCULATED.match(cell) and not _NUMBER.fullmatch(cell):
        return f"'{cell}"
    return cell
