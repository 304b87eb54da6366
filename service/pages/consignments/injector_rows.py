"""The rows of the receiving form: one injector each, `injectors.0.serial` and so on."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TypeVar

from service.actions.receiving import InjectorReceived
from service.actions.shop import Refused
from service.metrology.errors import DomainError
from service.pages.typed_forms import Typed
from service.workshop.serial_number import serial_number
from service.workshop.vocabulary import Fuel, Packing, SendReason

FIELDS = ("serial", "engine_id", "cylinder", "position", "running_hours", "fuel", "reason", "packing", "remark")
REPEATED = ("engine_id", "fuel", "reason", "packing")
"""What a further row takes over from the one before: injectors of one consignment mostly share it."""
MOST_ROWS = 60
T = TypeVar("T")


@dataclass(frozen=True)
class InjectorRow:
    """The names of one row's fields; `open_overhaul` is where its serial is open already."""

    number: int
    name: str
    open_overhaul: str


def row_count(typed: Typed) -> int:
    """How many rows were sent, at least one. Raises Refused for a damaged form."""
    count = typed.whole("rows", "Rows") if typed.text("rows") else 1
    if not 1 <= count <= MOST_ROWS:
        raise Refused("rows", f"One form takes up to {MOST_ROWS} injectors: send the rest in a second one.", "")
    return count


def with_one_more(typed: Typed, count: int) -> Typed:
    """The same form with a further row that begins as the last one does."""
    fields = dict(typed.fields)
    for name in REPEATED:
        fields[f"injectors.{count}.{name}"] = (typed.text(f"injectors.{count - 1}.{name}"),)
    return Typed({**fields, "rows": (str(count + 1),)}, typed.files)


def without_row(typed: Typed, count: int, gone: int) -> Typed:
    """The same form without one row; the rows after it move up."""
    fields = {name: value for name, value in typed.fields.items() if not name.startswith("injectors.")}
    kept = [place for place in range(count) if place != gone]
    for place, old in enumerate(kept):
        for name in FIELDS:
            fields[f"injectors.{place}.{name}"] = (typed.text(f"injectors.{old}.{name}"),)
    return Typed({**fields, "rows": (str(len(kept)),)}, typed.files)


class Problems:
    """Gathers what is wrong field by field, so that everything is told at once."""

    def __init__(self) -> None:
        self.errors: dict[str, str] = {}

    def read(self, question: Callable[[], T]) -> T | None:
        """The answer, or None after its error is noted."""
        try:
            return question()
        except DomainError as error:
            self.errors.setdefault(error.field or "", error.sentence)
            return None


def injectors_typed(typed: Typed, count: int, problems: Problems) -> tuple[InjectorReceived, ...]:
    """Every row that can be read; what cannot is noted in `problems`."""
    rows = tuple(row for place in range(count) if (row := _injector(typed, f"injectors.{place}", problems)) is not None)
    if len(rows) == count:
        for field, sentence in _twice(rows):
            problems.errors.setdefault(field, sentence)
    return rows


def _injector(typed: Typed, place: str, problems: Problems) -> InjectorReceived | None:
    before = len(problems.errors)
    serial = problems.read(lambda: serial_number(typed.text(f"{place}.serial"), f"{place}.serial"))
    engine = problems.read(lambda: _engine(typed, f"{place}.engine_id"))
    cylinder = problems.read(lambda: typed.whole(f"{place}.cylinder", "Cylinder"))
    hours = problems.read(lambda: typed.whole_or_none(f"{place}.running_hours", "Running hours"))
    fuel = problems.read(lambda: typed.choice(f"{place}.fuel", Fuel, "Fuel"))
    reason = problems.read(lambda: typed.choice(f"{place}.reason", SendReason, "Why it was sent"))
    packing = problems.read(lambda: typed.choice(f"{place}.packing", Packing, "Packing"))
    position = problems.read(lambda: _short(typed, f"{place}.position"))
    remark = problems.read(lambda: typed.text(f"{place}.remark"))
    if serial is None or engine is None or cylinder is None or fuel is None or reason is None or packing is None:
        return None
    if len(problems.errors) > before:
        return None
    return InjectorReceived(
        serial=serial,
        engine_id=engine,
        cylinder=cylinder,
        position=position or "",
        running_hours=hours,
        fuel=fuel,
        reason=reason,
        packing=packing,
        remark=remark or "",
    )


def _engine(typed: Typed, name: str) -> int:
    text = typed.text(name)
    if not (text.isascii() and text.isdigit() and len(text) < 10):
        raise Refused("no-engine", "Choose the engine that it came from.", name)
    return int(text)


def _short(typed: Typed, name: str) -> str:
    text = typed.text(name)
    if len(text) > 20:
        raise Refused("too-long", "Position: up to 20 characters, such as A or exhaust side.", name)
    return text


def _twice(rows: tuple[InjectorReceived, ...]) -> Iterator[tuple[str, str]]:
    seen: dict[str, int] = {}
    for place, row in enumerate(rows):
        if row.serial in seen:
            sentence = f"{row.serial} is entered already as injector {seen[row.serial] + 1}: check the marking."
            yield f"injectors.{place}.serial", sentence
        seen.setdefault(row.serial, place)
