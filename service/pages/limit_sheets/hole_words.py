"""What a sheet asks of the size of spray holes, in words, also where a draft is not finished."""

from collections.abc import Iterator

from service.metrology.errors import DomainError
from service.metrology.typed_numbers import plain
from service.workshop.limit_sheet import PinCharacteristic


def hole_limits_in_words(item: PinCharacteristic) -> Iterator[str]:
    """Nominal size or class, wear allowance, spread and flow area; only what the sheet gives."""
    if item.nominal is not None:
        yield f"Nominal diameter when new: {plain(item.nominal)} mm"
    if item.designation is not None:
        yield f"Holes {_class(item)}"
    if item.wear_allowance is not None:
        yield f"Wear allowance of the go pin: {plain(item.wear_allowance)} mm"
    if item.spread_limit is not None:
        yield f"Hole to hole at most {plain(item.spread_limit)} mm"
    least, most = item.area_least, item.area_most
    if least is not None and most is not None:
        yield f"Flow area {plain(least)} to {plain(most)} % of nominal"
    elif least is not None:
        yield f"Flow area at least {plain(least)} % of nominal"
    elif most is not None:
        yield f"Flow area at most {plain(most)} % of nominal"


def _class(item: PinCharacteristic) -> str:
    try:
        limits = item.hole_limits
    except DomainError as error:
        return f"{item.designation}: {error.sentence}"
    return "" if limits is None else f"{item.designation}: {plain(limits.min_mm)} to {plain(limits.max_mm)} mm"
