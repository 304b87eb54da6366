"""The identification number of a ship: IMO Resolution A.1117(30), seven digits of which the last is a check."""

import re

from service.metrology.errors import DomainError

_WEIGHTS = (7, 6, 5, 4, 3, 2)
_TYPED = re.compile(r"(?:IMO)?[\s:.-]*(?P<digits>[0-9]{7})", re.IGNORECASE | re.ASCII)


class ImoNumberError(DomainError):
    """A number that cannot be the IMO number of a ship."""


def expected_check_digit(first_six: str) -> int:
    """The seventh digit that belongs to the first six: 7·d1 + 6·d2 + 5·d3 + 4·d4 + 3·d5 + 2·d6, modulo 10.

    Weights 6, 5, 4 and 2 share factors with 10, so some wrong single digits pass: the check finds most
    slips, not all. Raises ImoNumberError when the text is not six digits.
    """
    if not re.fullmatch(r"[0-9]{6}", first_six):
        raise ImoNumberError(
            "imo-number-unreadable",
            "The check digit belongs to exactly six digits: give those.",
            "imo_number",
        )
    return sum(weight * int(digit) for weight, digit in zip(_WEIGHTS, first_six, strict=True)) % 10


def seven_digits(text: str) -> str:
    """The seven digits of a typed IMO number, with or without `IMO` before them; the check digit not yet tried.

    Raises ImoNumberError with code `imo-number-unreadable`.
    """
    match = _TYPED.fullmatch(text.strip())
    if match is None or int(match["digits"]) == 0:
        raise ImoNumberError(
            "imo-number-unreadable",
            "An IMO number has seven digits, such as 9074729: copy it from the ship's papers or stern.",
            "imo_number",
        )
    return match["digits"]


def imo_number(text: str) -> str:
    """The seven digits of a valid IMO ship number typed as `9074729` or `IMO 9074729`.

    Raises ImoNumberError with code `imo-number-unreadable`, or `imo-check-digit-wrong` with the digit that
    the first six ask for.
    """
    digits = seven_digits(text)
    expected = expected_check_digit(digits[:6])
    if int(digits[6]) != expected:
        raise ImoNumberError(
            "imo-check-digit-wrong",
            f"IMO {digits} ends in {digits[6]}, but after {digits[:6]} the check digit is {expected}: "
            "compare it with the ship's papers.",
            "imo_number",
        )
    return digits
