"""From a page's context to HTML. Contexts are frozen dataclasses; an unknown name in a template is an error."""

import secrets
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from functools import cache, lru_cache
from typing import Any
from urllib.parse import quote

from fastapi import Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from jinja2 import Environment, FileSystemLoader, StrictUndefined, Template
from markupsafe import escape

from service.actions.shop import Actor, Shop
from service.pages.navigation import NavItem, navigation
from service.paths import TEMPLATES


@dataclass(frozen=True)
class Person:
    """Who is signed in, for the head of the page."""

    name: str
    role_label: str


@dataclass(frozen=True)
class Notice:
    """A line at the top: what was done, what went wrong, what to know."""

    kind: str
    text: str


@dataclass(frozen=True)
class Frame:
    """What `_layout/page.html` needs; every page's context carries one as `page`."""

    title: str
    person: Person | None
    nav: tuple[NavItem, ...]
    notice: Notice | None
    workshop_name: str
    demo: bool


@dataclass(frozen=True)
class FormState:
    """A form as it is shown: what was typed and what was wrong with it; `''` is the form as a whole."""

    values: Mapping[str, str | list[str]] = field(default_factory=dict)
    errors: Mapping[str, str] = field(default_factory=dict)
    prefix: str = ""


def new_form_key() -> str:
    """A key that makes the second submission of one form harmless."""
    return secrets.token_urlsafe(12)


def day(moment: datetime) -> str:
    """A date as people write it across languages: 31 Jan 2026."""
    return f"{moment.day} {moment:%b %Y}"


def minute(moment: datetime) -> str:
    """A moment in UTC to the minute."""
    return f"{day(moment)}, {moment:%H:%M} UTC"


_TITLE_HERE, _MAIN_HERE = "\ue000", "\ue001"
"""Signs of Unicode's private use area: they stand in no text of ours and mark where a kept frame is filled in."""


@cache
def _environment() -> Environment:
    """The templates, each compiled once: nothing in them depends on the workshop that is served."""
    environment = Environment(
        loader=FileSystemLoader(TEMPLATES),
        undefined=StrictUndefined,
        autoescape=True,
        auto_reload=False,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters.update(day=day, minute=minute)
    marks = environment.get_template("_controls/verdict.html").module
    # The same few badges and ways stand on every busy page: each is rendered once.
    environment.globals.update(
        kept_verdict=lru_cache(maxsize=64)(getattr(marks, "verdict")),  # noqa: B009
        kept_stage_line=lru_cache(maxsize=64)(getattr(marks, "stage_line")),  # noqa: B009
    )
    return environment


class Renderer:
    """Compiled templates and the frame that all pages share."""

    def __init__(self, shop: Shop) -> None:
        self._shop = shop
        self._environment = _environment()
        self._kept_frame = lru_cache(maxsize=512)(self._frame_to_fill)

    def template(self, name: str) -> Template:
        """The compiled template; Jinja keeps it."""
        return self._environment.get_template(name)

    def frame(self, title: str, actor: Actor | None, current: str = "", notice: Notice | None = None) -> Frame:
        """The frame of one page. `current` is the address of the navigation entry that it belongs to."""
        person = Person(actor.name, actor.role.label) if actor else None
        nav = navigation(actor.role, current) if actor else ()
        return Frame(title, person, nav, notice, self._shop.name, self._shop.demo)

    def page(self, template: str, context: Any, status: int = 200) -> HTMLResponse:
        """Render a context dataclass, its fields becoming the template's names."""
        return HTMLResponse(self._text(template, context), status)

    def busy_page(self, template: str, context: Any, title: str, actor: Actor) -> HTMLResponse:
        """As `page`, from the partial that is the page's main part; the frame around it is kept for each person."""
        before, between, after = self._kept_frame(actor)
        return HTMLResponse(f"{before}{escape(title)}{between}{self._text(template, context)}{after}")

    def _text(self, template: str, context: Any) -> str:
        return self.template(template).render({name: getattr(context, name) for name in context.__dataclass_fields__})

    def _frame_to_fill(self, actor: Actor) -> tuple[str, str, str]:
        frame = self.template("_layout/kept.html").render(page=self.frame(_TITLE_HERE, actor), main=_MAIN_HERE)
        before, _, rest = frame.partition(_TITLE_HERE)
        between, _, after = rest.partition(_MAIN_HERE)
        return before, between, after


_OF_ADDRESSES = ":/%#?=@[]!$&'()*+,;"
"""Signs that an address keeps as they are; a header takes no others but letters and digits."""


def see_other(address: str, request: Request | None = None) -> Response:
    """Go to another page after something was done: 303, or htmx's own redirect for a part of a page."""
    if request is not None and request.headers.get("hx-request") == "true":
        return Response(headers={"HX-Redirect": quote(address, safe=_OF_ADDRESSES), "Vary": "HX-Request"})
    return RedirectResponse(address, 303)


def wants_fragment(request: Request) -> bool:
    """Whether htmx asks for the part of a page that it will swap."""
    return request.headers.get("hx-request") == "true" and request.headers.get("hx-request-type") == "partial"
