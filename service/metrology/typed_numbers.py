"""What a person types as a number: decimal comma or point, and nothing that could be read two ways."""

import re
from decimal import Decimal

from service.metrology.errors import MetrologyError

_PLAIN_NUMBER = re.compile(r"[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d{1,3})?", re.ASCII)
_MINUS_SIGNS = str.maketrans({"−": "-", "‒": "-", "–": "-"})  # tablets type them for a minus
_MAX_CHARACTERS = 40
_MAX_EXPONENT = 12
_UNIT_AT_THE_END = re.compile(r"(?<!per)_(?:bar|mm2_s|gpa|cm3|ml|n|s)(?=$|-\d)")


def parse_decimal(text: str, field: str) -> Decimal:
    """Read one typed number exactly.

    A decimal comma or a decimal point is taken (`0,85` and `0.85` are the same), also a sign and a small
    exponent (`8.5e-1`, at most ±12). Refused, each with the remedy: nothing typed, both separators together,
    separators of thousands, NaN, infinity, hexadecimal, digits of other scripts, digits without end.

    Raises MetrologyError with code `number-missing`, `number-ambiguous`, `number-unreadable` or
    `number-out-of-range`.
    """
    typed = text.strip().translate(_MINUS_SIGNS)
    if not typed:
        raise MetrologyError("number-missing", f"{field_in_words(field)} is empty: type a number such as 0.85.", field)
    if len(typed) > _MAX_CHARACTERS:
        raise MetrologyError(
            "number-unreadable",
            f"{field_in_words(field)} is longer than {_MAX_CHARACTERS} characters: type a number such as 0.85.",
            field,
        )
    if ("," in typed and "." in typed) or typed.count(",") > 1 or typed.count(".") > 1:
        raise MetrologyError(
            "number-ambiguous",
            f"{field_in_words(field)} reads “{typed}”, which can be understood in two ways: "
            "use one decimal comma or point, and no separator of thousands.",
            field,
        )
    if not _PLAIN_NUMBER.fullmatch(typed):
        raise MetrologyError(
            "number-unreadable",
            f"{field_in_words(field)} reads “{typed}”, which is not a number: type digits such as 0.85.",
            field,
        )
    return _within_range(Decimal(typed.replace(",", ".")), typed, field)


def plain(number: Decimal) -> str:
    """A Decimal in its shortest form without an exponent and without idle zeros: 25, 0.85, -5; NaN by its name."""
    if not number.is_finite():
        return str(number)
    text = format(number, "f")
    shortest = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if shortest == "-0" else shortest


def grouped(number: int) -> str:
    """A whole number in groups of three with a hard space between, never a comma, which is read as a decimal sign
    (ISO 80000-1, 7.3.1; clause from memory)."""
    return f"{number:,}".replace(",", "\N{NO-BREAK SPACE}")


def field_in_words(field: str) -> str:
    """The field as a person reads it: `opening_pressure_bar` becomes `Opening pressure`; the unit stands beside."""
    words = _UNIT_AT_THE_END.sub("", field).replace("_", " ").replace("-", " ").strip() or "number"
    return words[0].upper() + words[1:]


def _within_range(number: Decimal, typed: str, field: str) -> Decimal:
    exponent = number.adjusted() if number else int(number.as_tuple().exponent)
    if abs(exponent) > _MAX_EXPONENT:
        raise MetrologyError(
            "number-out-of-range",
            f"{field_in_words(field)} reads “{typed}”, beyond any measurement: check its digits and unit.",
            field,
        )
    return number
