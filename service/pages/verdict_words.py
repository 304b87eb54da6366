"""Verdicts as a history tells them, of findings and of bench steps: the mark and the word of each."""

from service.workshop.step_results import StepVerdictKind
from service.workshop.vocabulary import VerdictKind

_BENCH = {
    StepVerdictKind.PASSED: "Passed",
    StepVerdictKind.FAILED: "Failed",
    StepVerdictKind.CANNOT_TELL: "Cannot tell",
}
VERDICTS = {kind.value: (kind.value, kind.label) for kind in VerdictKind} | {
    kind.value: (kind.as_finding.value, word) for kind, word in _BENCH.items()
}
"""By the verdict that an entry is stored with."""
