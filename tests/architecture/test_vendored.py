"""What the browser gets from others is exactly what we say it is, and our templates speak its language.

The list of htmx 2 words that mean nothing, or something else, in htmx 4 is from the upgrade guide inside the
npm package htmx.org 4.0.1 (dist/skills/htmx-upgrade-from-htmx2.md and dist/scripts/upgrade-check.py).
"""

import hashlib
import json
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
VENDOR = ROOT / "static" / "vendor"
VENDORED = json.loads((VENDOR / "vendored.json").read_text(encoding="utf-8"))["files"]
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))
OWN_SCRIPTS = sorted((ROOT / "static").glob("*.js"))
OWN_STYLES = sorted((ROOT / "static").glob("*.css"))

GONE = {
    "hx-disabled-elt": "hx-disable",
    "hx-vars": "hx-vals",
    "hx-params": "nothing: name the fields in the form",
    "hx-prompt": "a field in the form",
    "hx-ext": "nothing",
    "hx-disinherit": "nothing: inheritance is explicit",
    "hx-inherit": "the :inherited modifier",
    "hx-request": "hx-config",
    "hx-history": "nothing",
}
NO_FORM_FIELDS = {
    "hx-delete": "hx-post: hx-delete sends no form fields",
    "hx-put": "hx-post: a form without JavaScript can only GET and POST",
    "hx-patch": "hx-post: a form without JavaScript can only GET and POST",
}
NEEDS_EVAL = re.compile(r"(^|\s)(js|javascript):")
PASSED_ON = {
    "hx-boost", "hx-confirm", "hx-disable", "hx-encoding", "hx-headers", "hx-include", "hx-indicator", "hx-push-url",
    "hx-replace-url", "hx-select", "hx-select-oob", "hx-swap", "hx-sync", "hx-target", "hx-vals", "hx-config",
    "hx-validate",
}  # fmt: skip
SENDS = {"hx-get", "hx-post", "hx-action", "hx-query"}
OLD_CONFIG = {
    "defaultSwapStyle", "globalViewTransitions", "historyEnabled", "includeIndicatorStyles", "timeout", "allowEval",
    "selfRequestsOnly", "responseHandling", "historyCacheSize", "scrollBehavior", "withCredentials",
}  # fmt: skip
OLD_EVENT = re.compile(r"htmx:(?:[a-z]+[A-Z]\w*|load\b|timeout\b|validation:|xhr:)|HX-Trigger-After-")
OLD_CALL = re.compile(
    r"htmx\.(?:addClass|removeClass|toggleClass|takeClass|closest|remove|off|values|defineExtension|logAll|logger)\b"
)
NEW_CAMEL_EVENTS = {"htmx:before:viewTransition", "htmx:after:viewTransition"}


class _Tags(HTMLParser):
    """Collects every start tag of a template with its line, after the Jinja parts are blanked."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[int, str, dict[str, str | None]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((self.getpos()[0], tag, dict(attrs)))


def _tags(source: str) -> list[tuple[int, str, dict[str, str | None]]]:
    blank = re.compile(r"\{#.*?#\}|\{%.*?%\}", re.S)
    source = blank.sub(lambda found: "\n" * found.group().count("\n") + " ", source)
    source = re.sub(r"\{\{.*?\}\}", lambda found: "X" + "\n" * found.group().count("\n"), source, flags=re.S)
    reader = _Tags()
    reader.feed(source)
    return reader.found


def _attribute_faults(name: str, value: str, beside: set[str]) -> list[str]:
    """What htmx 4 or our Content-Security-Policy would not understand in one attribute."""
    name = name.removeprefix("data-")
    plain = name.split(":")[0]
    faults = []
    if plain in GONE:
        faults.append(f"{plain} is htmx 2; write {GONE[plain]}")
    if plain in NO_FORM_FIELDS:
        faults.append(f"{plain}: write {NO_FORM_FIELDS[plain]}")
    if plain.startswith("hx-on"):
        faults.append("hx-on runs text as code, which the Content-Security-Policy forbids")
    if plain.startswith("hx-") and NEEDS_EVAL.search(value):
        faults.append(f"{plain} with js: runs text as code, which the Content-Security-Policy forbids")
    if plain == "hx-trigger" and "[" in value:
        faults.append("a filter in hx-trigger runs text as code, which the Content-Security-Policy forbids")
    if plain in PASSED_ON and ":inherited" not in name and not beside & SENDS:
        faults.append(f"{plain} stands on an element that sends nothing; pass it on with {plain}:inherited")
    if re.fullmatch(r"on[a-z]+", name) or name == "style":
        faults.append(f"{name} is inline, which the Content-Security-Policy forbids")
    return faults


def faults_of(source: str) -> list[str]:
    """Every fault of one template's text, with its line."""
    faults = []
    for line, tag, attributes in _tags(source):
        beside = {name.removeprefix("data-") for name in attributes}
        for name, value in attributes.items():
            faults += [f"line {line}: {fault}" for fault in _attribute_faults(name, value or "", beside)]
        if tag == "style" or (tag == "script" and "src" not in attributes):
            faults.append(f"line {line}: inline {tag}, which the Content-Security-Policy forbids")
        if attributes.get("name") == "htmx-config":
            old = OLD_CONFIG & set(json.loads(attributes["content"] or "{}"))
            faults += [f"line {line}: {word} is a setting of htmx 2" for word in sorted(old)]
    return faults + script_faults(source)


def script_faults(source: str) -> list[str]:
    """Events, headers and calls of htmx 2 in a script or a template."""
    events = [found for found in OLD_EVENT.findall(source) if found not in NEW_CAMEL_EVENTS]
    return [f"{found} is htmx 2" for found in events + OLD_CALL.findall(source)]


@pytest.mark.parametrize("entry", VENDORED, ids=lambda entry: entry["file"])
def test_a_vendored_file_is_the_published_one_byte_for_byte(entry: dict[str, str]) -> None:
    content = (VENDOR / entry["file"]).read_bytes()
    assert hashlib.sha256(content).hexdigest() == entry["sha256"]
    assert (VENDOR / entry["licence_file"]).stat().st_size > 0


def test_the_vendored_htmx_says_itself_which_version_it_is() -> None:
    entry = next(entry for entry in VENDORED if entry["name"] == "htmx")
    assert f'this.version="{entry["version"]}"' in (VENDOR / entry["file"]).read_text(encoding="utf-8")


def test_every_vendored_file_is_accounted_for() -> None:
    known = {entry["file"] for entry in VENDORED} | {entry["licence_file"] for entry in VENDORED}
    assert {path.name for path in VENDOR.iterdir()} == known | {"vendored.json"}


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: str(path.relative_to(ROOT / "templates")))
def test_a_template_speaks_htmx_4_and_keeps_to_the_content_security_policy(path: Path) -> None:
    assert faults_of(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("path", OWN_SCRIPTS, ids=lambda path: path.name)
def test_a_script_of_ours_speaks_htmx_4_and_runs_no_text_as_code(path: Path) -> None:
    source = path.read_text(encoding="utf-8")
    assert script_faults(source) == []
    assert not re.search(r"\beval\(|new Function|innerHTML|\.style\b|setTimeout\(\s*[\"']", source)


@pytest.mark.parametrize("path", [*TEMPLATES, *OWN_SCRIPTS, *OWN_STYLES], ids=lambda path: path.name)
def test_nothing_is_fetched_from_another_host(path: Path) -> None:
    source = path.read_text(encoding="utf-8")
    assert not re.search(
        r"(?:src|href|action)=[\"'](?:https?:)?//|url\([\"']?(?:https?:)?//|@import|@font-face", source
    )


def test_the_page_tells_htmx_to_add_no_style_of_its_own() -> None:
    tags = _tags((ROOT / "templates" / "_layout" / "page.html").read_text(encoding="utf-8"))
    settings = [tag[2]["content"] for tag in tags if tag[2].get("name") == "htmx-config"]
    assert len(settings) == 1
    assert json.loads(settings[0] or "")["includeIndicatorCSS"] is False


@pytest.mark.parametrize(
    "markup",
    [
        '<button hx-post="/x" hx-disabled-elt="this">',
        '<button hx-delete="/x">',
        '<div hx-target="#a"><a hx-get="/x">',
        '<a data-hx-get="/x" data-hx-vars="a:1">',
        '<a hx-get="/x" hx-vals="js:{a: 1}">',
        '<a hx-get="/x" hx-trigger="keyup[key==1]">',
        '<a hx-on:click="go()">',
        '<a onclick="go()">',
        '<p style="color: red">',
        "<style>p { color: red }</style>",
        "<script>go()</script>",
        '<a hx-get="/x" hx-trigger="htmx:afterSwap from:body">',
        """<meta name="htmx-config" content='{"includeIndicatorStyles": false}'>""",
    ],
)
def test_a_spelling_of_htmx_2_or_an_inline_script_is_found(markup: str) -> None:
    assert faults_of(markup)


@pytest.mark.parametrize(
    "markup",
    [
        '<form hx-post="/x" hx-target="#a" hx-disable="findAll [type=submit]">',
        '<div hx-target:inherited="#a"><a hx-get="/x">',
        '{# hx-delete sends no fields #}<a hx-get="/x" hx-trigger="htmx:after:swap from:body">',
        '<a href="{{ page.href }}"{% if here %} aria-current="page"{% endif %}>',
    ],
)
def test_a_spelling_of_htmx_4_passes(markup: str) -> None:
    assert faults_of(markup) == []
