"""The number of a row as a part of an address: one that no row can have is an address that does not exist."""

from typing import Annotated

from fastapi import Path

RowId = Annotated[int, Path(ge=1, le=2_000_000_000)]
