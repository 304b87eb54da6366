"""How a photograph goes out: shown as a picture under a plain name, and whatever opens it runs nothing of it."""

from service.records.scanned_files import ENDINGS
from service.records.tables import PhotographRow


def headers_of_picture(number: str, row: PhotographRow, media_type: str) -> dict[str, str]:
    """For the bytes of a photograph. No cache keeps what one fleet's people alone may see."""
    name = "".join(sign if sign.isascii() and sign.isalnum() else "-" for sign in number)
    return {
        "Content-Disposition": f'inline; filename="{name}-photograph-{row.id}.{ENDINGS[media_type]}"',
        "Content-Security-Policy": "sandbox; default-src 'none'",
        "Cache-Control": "no-store",
    }
