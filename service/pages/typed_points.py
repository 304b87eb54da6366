"""Points that came with a form: pasted into a box, or in a text file that is used in place of the box."""

from service.actions.shop import Refused
from service.pages.typed_forms import Typed

_LONGEST_SHOWN = 60_000


def points_text(typed: Typed, columns: str = "x and y in mm") -> str:
    """The file's text, or what was typed. Raises Refused, field `file`, for a file that is no text."""
    file = typed.files.get("file", b"")
    if not file:
        return _typed_points(typed)
    try:
        return file.decode("utf-8-sig")
    except UnicodeDecodeError:
        sentence = f"This is not a text file of points: save it as CSV, {columns}."
        raise Refused("file-not-text", sentence, "file") from None


def points_shown_again(typed: Typed) -> str:
    """The points in their box again, those of a file too where they are few enough to mend there."""
    text = _typed_points(typed)
    if not text.strip() and typed.files.get("file"):
        text = typed.files["file"][: _LONGEST_SHOWN + 1].decode("utf-8", "replace")
        return text if len(text) <= _LONGEST_SHOWN and "\ufffd" not in text else ""
    return text


def _typed_points(typed: Typed) -> str:
    return (typed.fields.get("points") or ("",))[0]
