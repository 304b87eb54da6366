"""The refusal of a measurement."""

from service.metrology.errors import DomainError


class ExaminationRefused(DomainError):
    """A measurement that cannot be recorded as it stands."""
