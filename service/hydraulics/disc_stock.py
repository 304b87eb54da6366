"""Discs that may be put in, as thicknesses with how many there are of each. Whole µm, so that sums are exact."""

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from service.hydraulics.errors import HydraulicsError
from service.metrology.typed_numbers import parse_decimal, plain

THICKEST_UM = 10_000
MOST_THICKNESSES = 40
_PIECES = re.compile(r"(?P<thickness>[^x×*]+?)\s*[x×*]\s*(?P<count>\d{1,3})")


@dataclass(frozen=True, slots=True)
class StockedDisc:
    """One thickness, whole µm, and how many pieces of it there are; None: as many as are wanted."""

    thickness_um: int
    count: int | None = None


def micrometres(thickness_mm: Decimal, field: str) -> int:
    """A disc's thickness in whole µm.

    Raises HydraulicsError with code `disc-thickness`: not above zero, over 10 mm, or finer than 1 µm.
    """
    um = thickness_mm * 1000
    if not um.is_finite() or not 0 < um <= THICKEST_UM or um != int(um):
        raise HydraulicsError(
            "disc-thickness",
            f"A disc of {plain(thickness_mm)} mm is none: give more than 0 and up to {THICKEST_UM // 1000} mm, "
            "in whole thousandths.",
            field,
        )
    return int(um)


def stock_of(discs: Iterable[StockedDisc], field: str = "stock") -> tuple[StockedDisc, ...]:
    """The stock, the thinnest first, each thickness once; pieces of one thickness are added up.

    Raises HydraulicsError with code `stock-too-long` or `disc-thickness`.
    """
    pieces: dict[int, int | None] = {}
    for disc in discs:
        micrometres(Decimal(disc.thickness_um) / 1000, field)
        before, more = pieces.get(disc.thickness_um, 0), disc.count
        pieces[disc.thickness_um] = None if before is None or more is None else before + max(0, more)
    if len(pieces) > MOST_THICKNESSES:
        raise HydraulicsError(
            "stock-too-long",
            f"The stock lists {len(pieces)} thicknesses: give the {MOST_THICKNESSES} that come into question.",
            field,
        )
    return tuple(StockedDisc(um, count) for um, count in sorted(pieces.items()) if count != 0)


def parse_stock(text: str, field: str = "stock") -> tuple[StockedDisc, ...]:
    """Read `0.05, 0.10x2, 0.20`: thicknesses in mm, each with how many pieces there are if they are counted.

    With `;` between them a decimal comma is read: `0,05; 0,10x2`. Raises HydraulicsError as `stock_of` and with
    code `disc-count`, MetrologyError as `parse_decimal`.
    """
    return stock_of((_one(part, field) for part in _parts(text)), field)


def parse_discs(text: str, field: str) -> tuple[int, ...]:
    """Read discs that are there one by one, `0.10, 0.10, 0.05`, in whole µm. Raises as `parse_stock`."""
    listed = [_one(part, field) for part in _parts(text)]
    return tuple(um for disc in listed for um in [disc.thickness_um] * (1 if disc.count is None else disc.count))


def discs_in_words(discs_um: Iterable[int]) -> str:
    """`2 × 0.1 mm and 0.05 mm`, the thickest first; `no disc` for none."""
    counted = sorted(Counter(discs_um).items(), reverse=True)
    words = [f"{count} × {_mm(um)} mm" if count > 1 else f"{_mm(um)} mm" for um, count in counted]
    if len(words) < 2:
        return words[0] if words else "no disc"
    return f"{', '.join(words[:-1])} and {words[-1]}"


def _parts(text: str) -> list[str]:
    between = ";" if ";" in text else ","
    return [part.strip() for part in text.split(between) if part.strip()]


def _one(part: str, field: str) -> StockedDisc:
    counted = _PIECES.fullmatch(part)
    thickness = parse_decimal(counted["thickness"] if counted else part, field)
    return StockedDisc(micrometres(thickness, field), int(counted["count"]) if counted else None)


def _mm(um: int) -> str:
    return plain(Decimal(um) / 1000)
