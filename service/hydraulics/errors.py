"""Refusals of the bench room."""

from service.metrology.errors import DomainError


class HydraulicsError(DomainError):
    """Bench readings or counts that have no meaning."""
