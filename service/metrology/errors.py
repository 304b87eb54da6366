"""The root of every refusal that the domain makes: a code, a sentence for people, the field it concerns."""


class DomainError(ValueError):
    """A refusal with a machine-readable code, a sentence that names the remedy, and the field at fault.

    The pages show the sentence beside the field, the API answers it as problem details (RFC 9457), the
    command line prints it on standard error. Other rooms derive their own errors from this one.
    """

    def __init__(self, code: str, sentence: str, field: str | None = None) -> None:
        super().__init__(sentence)
        self.code = code
        self.sentence = sentence
        self.field = field


class MetrologyError(DomainError):
    """A number, a unit, a designation or a set of readings that has no meaning as a measurement."""
