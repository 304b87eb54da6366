"""The letter that carries the journal's head to where nobody of the workshop can change it."""

from datetime import datetime

from service.documents.printed_values import instant


def head_subject(workshop: str, row_id: int, at: datetime) -> str:
    """One line: whose journal, which row, when."""
    return " ".join(f"Journal head of {workshop}: row {row_id}, {instant(at)}".split())


def head_letter(workshop: str, row_id: int, head: str, at: datetime) -> str:
    """The letter's text; the hash stands alone on a line, so that it can be copied whole."""
    return (
        f"{workshop}\n"
        f"The journal's newest row on {instant(at)} is row {row_id}. Its hash:\n\n"
        f"{head}\n\n"
        "Keep this letter. The hash stands for every row up to that one: were any of them changed or removed later,\n"
        "this command would say so and end with status 1:\n\n"
        f"spindlebook journal verify --head {head}\n"
    )
