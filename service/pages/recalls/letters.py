"""What every letter of a recall asks for, and how it is answered."""

from fastapi.responses import Response

KEPT = ("Keep this letter with the certificates named in it.",)
"""Asked where no finding would change."""
ASKED = (
    "Tell us where each injector in the table is now: engine, cylinder, or in store.",
    "Do not fit one that lies in store until we have measured it again.",
    "Whether one in service may run on is for you to decide, with the engine maker’s instructions, your class and "
    "the chief engineer; we recommend to change it at the next opportunity.",
    "Send it back to us with this letter: we examine it again and issue a new certificate.",
    *KEPT,
)


def letter_answer(content: bytes) -> Response:
    """The letter as a PDF that the browser shows."""
    headers = {"Content-Disposition": 'inline; filename="recall-letter.pdf"'}
    return Response(content, media_type="application/pdf", headers=headers)
