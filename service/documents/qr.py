"""A QR code as a vector drawing."""

from io import BytesIO


def qr_svg(text: str) -> str:
    """The QR code (ISO/IEC 18004, error correction at least M) of a text as SVG, quiet zone included."""
    import segno  # loads on first use

    drawing = BytesIO()
    segno.make(text, error="m", micro=False).save(drawing, kind="svg", border=4, xmldecl=False, dark="#000")
    return drawing.getvalue().decode("utf-8")
