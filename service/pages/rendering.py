"""From a page's context to HTML. Contexts are frozen dataclasses; an unknown name in a template is an error."""

import secrets
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from datetime import datetime
from typing import Any

from fastapi import Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from jinja2 import Environment, FileSystemLoader, StrictUndefined, Template

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


class Renderer:
    """Compiled templates and the frame that all pages share."""

    def __init__(self, shop: Shop) -> None:
        self._shop = shop
        self._environment = Environment(
            loader=FileSystemLoader(TEMPLATES),
            undefined=StrictUndefined,
            autoescape=True,
            auto_reload=False,
            trim_blocks=True,
            lstrip_blocks=True,
        )
        self._environment.filters.update(day=day, minute=minute)

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
        names = {item.name: getattr(context, item.name) for item in fields(context)}
        return HTMLResponse(self.template(template).render(names), status)


def see_other(address: str, request: Request | None = None) -> Response:
    """Go to another page after something was done: 303, or htmx's own redirect for a part of a page."""
    if request is not None and request.headers.get("hx-request") == "true":
        return Response(headers={"HX-Redirect": address, "Vary": "HX-Request"})
    return RedirectResponse(address, 303)


def wants_fragment(request: Request) -> bool:
    """Whether htmx asks for the part of a page that it will swap."""
    return request.headers.get("hx-request") == "true" and request.headers.get("hx-request-type") == "partial"
