"""A page as somebody without JavaScript uses it: its forms with what stands in them, its links, its words."""

import html
import re
from dataclasses import dataclass, field
from html.parser import HTMLParser

import httpx

ORIGIN = "http://127.0.0.1:8000"
PART = {"HX-Request": "true", "HX-Request-Type": "partial"}
Fields = dict[str, list[str]]


@dataclass
class PageForm:
    """One form: where it posts and what its fields hold."""

    action: str
    fields: Fields = field(default_factory=dict)


class _Forms(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.forms: list[PageForm] = []
        self._open: PageForm | None = None
        self._select = self._area = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        name, value = given.get("name", ""), given.get("value", "")
        if tag == "form" and given.get("method") == "post":
            self._open = PageForm(given["action"])
            self.forms.append(self._open)
        elif self._open is None:
            return
        elif tag == "input" and name:
            box = given.get("type") in ("radio", "checkbox")
            if not box or "checked" in given:
                self._open.fields.setdefault(name, []).append(value)
        elif tag == "select":
            self._select = name
        elif tag == "option" and "selected" in given:
            self._open.fields[self._select] = [value]
        elif tag == "textarea":
            self._area = name
            self._open.fields[name] = [""]

    def handle_data(self, data: str) -> None:
        if self._open is not None and self._area:
            self._open.fields[self._area][0] += data.removeprefix("\n")

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._open = None
        elif tag == "textarea":
            self._area = ""


def forms_of(answer: httpx.Response) -> list[PageForm]:
    """Every posting form of the page."""
    parser = _Forms()
    parser.feed(answer.text)
    return parser.forms


def form_of(answer: httpx.Response, action_part: str) -> PageForm:
    """The one form whose address holds that text."""
    found = [form for form in forms_of(answer) if action_part in form.action]
    assert len(found) == 1, f"{len(found)} forms for {action_part}: {words_of(answer)}"
    return found[0]


def has_form(answer: httpx.Response, action_part: str) -> bool:
    """Whether the page offers such a form."""
    return any(action_part in form.action for form in forms_of(answer))


def words_of(answer: httpx.Response) -> str:
    """What the page says, without its tags."""
    text = re.sub(r"<(script|style|title).*?</\1>", " ", answer.text, flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", text)).split())


@dataclass
class Visitor:
    """A browser of one person, without JavaScript."""

    client: httpx.Client

    def get(self, path: str, part: bool = False) -> httpx.Response:
        """Open a page, or the part of it that htmx asks for."""
        return self.client.get(path, headers=PART if part else {}, follow_redirects=False)

    def send(self, form: PageForm, part: bool = False, **typed: str | list[str]) -> httpx.Response:
        """Send a form as it stands, with what was typed into it."""
        changed = {name: value if isinstance(value, list) else [value] for name, value in typed.items()}
        headers = PART if part else {}
        return self.client.post(form.action, data={**form.fields, **changed}, headers=headers, follow_redirects=False)

    def fill(self, path: str, action_part: str, **typed: str | list[str]) -> httpx.Response:
        """Open the page and send one of its forms; a redirect is followed, so that the answer is a page."""
        answer = self.send(form_of(self.get(path), action_part), **typed)
        return self.get(answer.headers["location"]) if answer.status_code == 303 else answer
