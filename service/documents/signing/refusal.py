"""The refusals of keys and signatures."""

from service.metrology.errors import DomainError


class KeysRefused(DomainError):
    """Keys that cannot be made, opened or believed as asked."""


class SigningFailed(KeysRefused):
    """A document that could not be signed: nothing may be issued."""
