"""Text that the document's fonts can draw: people's words reach the page as data, whatever they typed.

PDF/A and PDF/UA refuse a character without a glyph, so one exotic character would stop a certificate. The
fonts inside the typst wheel draw the ranges below (found by setting every character of them under both standards;
a test sets them all again). Anything else is printed by its Unicode number, so that nothing vanishes unseen.
"""

import re
import unicodedata
from functools import cache

_DRAWN = """
20-7E
A1-AC AE-2FF 370-377 37A-37F 384-38A 38C 38E-3A1 3A3-482 48A-4FF 510-513 51A-51D 531-556 559-58A
58D-58F 5BE 5C0 5C3 5C6 5D0-5EA 5EF-5F4 606-60C 61B 61F 621-63A 640-64A 660-66D 674 679-67B 67E-680
683-684 686-687 691 698 6A4 6A9 6AF 6BE 6CC 6F0-6F9 1E00-1F15 1F18-1F1D 1F20-1F45 1F48-1F4D
1F50-1F57 1F59 1F5B 1F5D 1F5F-1F7D 1F80-1FB4 1FB6-1FC4 1FC6-1FD3 1FD6-1FDB 1FDD-1FEF 1FF2-1FF4
1FF6-1FFE 2010-2027 2030 2032-2040 2042 2044-2052 2054-205E 2070-2071 2074-208E 2090-209C 20A0-20C0
2100-211E 2120 2122 2124 2126-2151 2153-2184 2189 2190-23FF 2422-2423 2500-262F 2638-268B 2690-269C
26A0-26A7 26AA-26B2 FB00-FB06
"""
_CONTROLS = {"Cc", "Zl", "Zp"}
_INVISIBLE = {"Cf"}  # direction overrides and zero-width signs could make two serials look alike
_NOT_PLAIN = re.compile(r"[^\x20-\x7e]")


def legible(text: str) -> str:
    """The text as the page can show it: one line, composed (NFC), foreign signs as `[U+65E5]`."""
    composed = unicodedata.normalize("NFC", text)
    shown = _NOT_PLAIN.sub(lambda match: _shown(match.group()), composed)
    return " ".join(shown.split())


def drawn_characters() -> frozenset[str]:
    """Every character that the document's fonts draw."""
    return _drawn()


@cache
def _drawn() -> frozenset[str]:
    spans = (token.partition("-") for token in _DRAWN.split())
    return frozenset(chr(n) for low, _, high in spans for n in range(int(low, 16), int(high or low, 16) + 1))


def _shown(character: str) -> str:
    if character in _drawn():
        return character
    category = unicodedata.category(character)
    if category in _CONTROLS or category == "Zs":
        return " "
    if category in _INVISIBLE:
        return ""
    return f"[U+{ord(character):04X}]"
