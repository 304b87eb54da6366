"""The same markup as a whole page, or as the part of it that htmx swaps."""

from typing import Any

from fastapi import Request
from fastapi.responses import Response

from service.pages.guards import renderer_of
from service.pages.rendering import wants_fragment


def whole_or_part(request: Request, name: str, context: Any, status: int = 200) -> Response:
    """Render `folder/name.html`, or `folder/_name.html` where htmx asks for the part."""
    folder, _, leaf = name.rpartition("/")
    template = f"{folder}/_{leaf}.html" if wants_fragment(request) else f"{folder}/{leaf}.html"
    answer = renderer_of(request).page(template, context, status)
    answer.headers["Vary"] = "HX-Request, HX-Request-Type"
    return answer
