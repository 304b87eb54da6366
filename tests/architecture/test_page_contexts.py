"""A page and its template agree both ways: every field is printed, and every name printed is a field."""

import importlib
import pkgutil
from dataclasses import fields, is_dataclass
from pathlib import Path

import pytest
from jinja2 import Environment, FileSystemLoader, meta, nodes

import service.pages
from service.pages.approvals import ApprovalsPage
from service.pages.board import BoardPage
from service.pages.certificates import CheckPage
from service.pages.consignments.arrived import ConsignmentPage
from service.pages.consignments.choosing_vessel import ChoosingVesselPage
from service.pages.consignments.receiving import ReceivingPage
from service.pages.error_pages import ErrorPage
from service.pages.fleet import FleetPage
from service.pages.fleets.engines import EnginePage
from service.pages.fleets.fleet_list import FleetsPage
from service.pages.fleets.injector_types import TypePage as InjectorTypePage
from service.pages.fleets.operators import OperatorPage
from service.pages.fleets.vessels import VesselPage
from service.pages.instruments import InstrumentPage, InstrumentsPage
from service.pages.journal import JournalListPage
from service.pages.limit_sheets.class_limits import ClassLimitsPart
from service.pages.limit_sheets.draft import DraftPage
from service.pages.limit_sheets.draft_head import HeadPage
from service.pages.limit_sheets.draft_items import ItemPage
from service.pages.limit_sheets.revisions import RevisionPage
from service.pages.limit_sheets.types import TypePage, TypesPage
from service.pages.overhauls.examination_view import CharacteristicPage, ExaminationPage
from service.pages.overhauls.overview import OverviewPage
from service.pages.overhauls.proving_view import ProvingPage
from service.pages.overhauls.rebuild_view import RebuildPage
from service.pages.overhauls.release_view import ReleasePage
from service.pages.overhauls.settlement_view import SettlementPage
from service.pages.overhauls.step_view import StepPage
from service.pages.overhauls.strip import StripPage
from service.pages.people import OwnPage, PeoplePage, PersonPage
from service.pages.rendering import Frame
from service.pages.sign_in import SignInPage
from service.pages.unit_status import UnitStatus
from service.pages.units import ChoosePage, SearchPage
from service.paths import TEMPLATES

CONTEXTS: dict[str, type] = {
    "approvals/approvals.html": ApprovalsPage,
    "board/board.html": BoardPage,
    "certificates/check.html": CheckPage,
    "consignments/choosing_vessel.html": ChoosingVesselPage,
    "consignments/consignment.html": ConsignmentPage,
    "consignments/receiving.html": ReceivingPage,
    "errors/error.html": ErrorPage,
    "fleet/fleet.html": FleetPage,
    "fleets/engine.html": EnginePage,
    "fleets/fleets.html": FleetsPage,
    "fleets/injector_type.html": InjectorTypePage,
    "fleets/operator.html": OperatorPage,
    "fleets/vessel.html": VesselPage,
    "instruments/instrument.html": InstrumentPage,
    "instruments/instruments.html": InstrumentsPage,
    "journal/journal.html": JournalListPage,
    "limit_sheets/_class_limits.html": ClassLimitsPart,
    "limit_sheets/draft.html": DraftPage,
    "limit_sheets/draft_head.html": HeadPage,
    "limit_sheets/draft_item.html": ItemPage,
    "limit_sheets/revision.html": RevisionPage,
    "limit_sheets/type.html": TypePage,
    "limit_sheets/types.html": TypesPage,
    "overhauls/characteristics.html": ExaminationPage,
    "overhauls/examination.html": CharacteristicPage,
    "overhauls/overview.html": OverviewPage,
    "overhauls/proving.html": ProvingPage,
    "overhauls/rebuild.html": RebuildPage,
    "overhauls/release.html": ReleasePage,
    "overhauls/settlement.html": SettlementPage,
    "overhauls/step.html": StepPage,
    "overhauls/strip.html": StripPage,
    "people/me.html": OwnPage,
    "people/people.html": PeoplePage,
    "people/person.html": PersonPage,
    "sign_in/sign_in.html": SignInPage,
    "units/_unit.html": UnitStatus,
    "units/choose.html": ChoosePage,
    "units/search.html": SearchPage,
}
GLOBALS = {"kept_verdict", "kept_stage_line"}
_ENVIRONMENT = Environment(loader=FileSystemLoader(TEMPLATES))
_ENVIRONMENT.filters.update(day=str, minute=str)
EVERY = sorted(str(path.relative_to(TEMPLATES)) for path in Path(TEMPLATES).rglob("*.html"))


def parsed(name: str) -> nodes.Template:
    return _ENVIRONMENT.parse((Path(TEMPLATES) / name).read_text(encoding="utf-8"))


def drawn_in(name: str) -> set[str]:
    """The templates that this one includes or extends; they see its context, imported macros do not.

    An include whose name is computed may be any part in the same folder.
    """
    folder = name.rpartition("/")[0]
    found: set[str] = set()
    for node in parsed(name).find_all((nodes.Include, nodes.Extends)):
        assert isinstance(node, nodes.Include | nodes.Extends)
        if isinstance(node.template, nodes.Const):
            found.add(node.template.value)
        else:
            found |= {one for one in EVERY if one.startswith(f"{folder}/_")}
    return found - {name}


def names_asked(name: str, seen: frozenset[str] = frozenset()) -> set[str]:
    """Every name that the template and all it draws in ask of the context."""
    template = parsed(name)
    # What a page imports or defines at its top is known in its blocks, which Jinja's own answer does not say.
    known = {
        alias if isinstance(alias, str) else alias[1]
        for node in template.find_all(nodes.FromImport)
        for alias in node.names
    }
    known |= {macro.name for macro in template.find_all(nodes.Macro)}
    own = {node.name for node in template.find_all(nodes.Name) if node.ctx in ("store", "param")}
    asked = meta.find_undeclared_variables(template) - known - GLOBALS - set(_ENVIRONMENT.globals)
    for other in drawn_in(name) - seen:
        asked |= names_asked(other, seen | {name}) - own
    return asked


@pytest.mark.parametrize("template", CONTEXTS)
def test_every_name_in_a_template_is_a_field_of_its_page(template: str) -> None:
    assert names_asked(template) - {field.name for field in fields(CONTEXTS[template])} == set()


@pytest.mark.parametrize("template", CONTEXTS)
def test_every_field_of_a_page_is_printed_by_its_template(template: str) -> None:
    assert {field.name for field in fields(CONTEXTS[template])} - names_asked(template) == set()


def test_every_page_is_held_to_this() -> None:
    pages = set()
    for found in pkgutil.walk_packages(service.pages.__path__, "service.pages."):
        for value in vars(importlib.import_module(found.name)).values():
            framed = is_dataclass(value) and any(field.type is Frame for field in fields(value))
            if framed and isinstance(value, type):
                pages.add(value)
    assert pages
    assert pages - set(CONTEXTS.values()) == set()


def test_every_full_page_has_a_context() -> None:
    whole = {name for name in EVERY if not name.startswith("_") and "/_" not in name}
    assert whole - set(CONTEXTS) == set()


def test_every_part_that_htmx_swaps_stands_in_a_full_page_too() -> None:
    drawn: set[str] = set()
    waiting = [name for name in EVERY if "/_" not in name and not name.startswith("_")]
    while waiting:
        more = drawn_in(waiting.pop()) - drawn
        drawn |= more
        waiting.extend(more)
    parts = {name for name in EVERY if "/_" in name}
    # The unit's status is set into a frame that is kept for each person: see Renderer.busy_page.
    assert parts - drawn - {"units/_unit.html"} == set()


def test_the_folders_of_templates_mirror_the_pages() -> None:
    folders = {name.split("/")[0] for name in EVERY} - {"_layout", "_controls"}
    root = Path(service.pages.__path__[0])
    rooms = {path.stem for path in root.glob("*.py")} | {path.name for path in root.iterdir() if path.is_dir()}
    # Error pages have a module of that fuller name: `errors` would read as the exceptions.
    assert folders - rooms - {"errors"} == set()
