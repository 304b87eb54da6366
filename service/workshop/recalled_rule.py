"""The decision rule that a stored verdict was judged by, read back from the text that was stamped on it."""

import re
from decimal import Decimal
from functools import lru_cache

from service.workshop.decision_rule import DecisionRule

_VERSION = re.compile(r"\brule(?: version)? (\d{1,9})\b", re.IGNORECASE)
_FACTOR = re.compile(r"\bguard band (\d+(?:\.\d+)?) × U\b")
_PROBABILITY = re.compile(r"\bguard band for (\d+(?:\.\d+)?) % probability\b")


@lru_cache(maxsize=256)
def rule_of_text(text: str) -> DecisionRule | None:
    """The rule with its version where one is named; None for a text that names no such rule."""
    named = _VERSION.search(text)
    version = int(named[1]) if named else None
    if found := _PROBABILITY.search(text):
        return DecisionRule(probability=Decimal(found[1]) / 100, version=version)
    if found := _FACTOR.search(text):
        return DecisionRule(Decimal(found[1]), version=version)
    return DecisionRule(Decimal(0), version=version) if "Simple acceptance" in text else None
