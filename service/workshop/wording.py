"""Putting what people typed into sentences."""


def as_sentence(typed: str) -> str:
    """The text with a full stop, unless it ends a sentence already: another sentence may follow it."""
    text = typed.strip()
    return text if not text or text[-1] in ".!?…" else f"{text}."
