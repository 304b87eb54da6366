"""The head of a draft, and the head of its test plan."""

from dataclasses import dataclass, replace
from decimal import Decimal

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.shop import Actor
from service.hydraulics.disc_stock import parse_discs
from service.metrology.errors import DomainError
from service.metrology.typed_numbers import plain
from service.pages.guards import Manager, renderer_of, shop_of
from service.pages.limit_sheets.draft_saving import Edit, draft_or_404, save_edit
from service.pages.limit_sheets.forms.fields import Values, number, quantity_or_none
from service.pages.refused_form import seen_again, status_of_form
from service.pages.rendering import FormState, Frame, new_form_key, see_other
from service.pages.typed_forms import Typed, TypedForm
from service.workshop.limit_sheet import LimitSheet

router = APIRouter(prefix="/limit-sheets/{code}/draft")


@dataclass(frozen=True)
class HeadPage:
    """A form of the head; `plan` is true for that of the test plan."""

    page: Frame
    code: str
    address: str
    plan: bool
    seen: int
    form: FormState
    form_key: str


@router.get("/head")
def show_head(request: Request, code: str, actor: Actor = Manager) -> Response:
    """The head's form."""
    return _page(request, actor, code, False, FormState(head_values(draft_or_404(shop_of(request), code).sheet)))


@router.post("/head")
def save_head(request: Request, code: str, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Save the head."""

    def edit(sheet: LimitSheet) -> LimitSheet:
        return replace(
            sheet,
            title=typed.text("title"),
            document_reference=typed.text("document_reference"),
            document_revision=typed.text("document_revision"),
            notice=typed.text("notice"),
            discs_added_max=typed.whole("discs_added_max", "Discs added at most"),
            overhaul_hours=typed.whole_or_none("overhaul_hours", "Hours to the next overhaul"),
        )

    return _save(request, actor, code, False, typed, edit)


@router.get("/test-plan")
def show_plan(request: Request, code: str, actor: Actor = Manager) -> Response:
    """The form of the opening pressure."""
    return _page(request, actor, code, True, FormState(plan_values(draft_or_404(shop_of(request), code).sheet)))


@router.post("/test-plan")
def save_plan(request: Request, code: str, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Save the opening pressure."""

    def edit(sheet: LimitSheet) -> LimitSheet:
        plan = replace(
            sheet.test_plan,
            opening_set_bar=typed.pressure_bar("opening_set_bar"),
            opening_lower_bar=typed.pressure_bar("opening_lower_bar"),
            opening_upper_bar=typed.pressure_bar("opening_upper_bar"),
            spring_rate_n_per_mm=quantity_or_none(typed, "spring_rate_n_per_mm", "N/mm"),
            guide_mm=quantity_or_none(typed, "guide_mm", "mm"),
            seat_mm=quantity_or_none(typed, "seat_mm", "mm"),
            discs_mm=tuple(Decimal(um) / 1000 for um in parse_discs(typed.text("discs_mm"), "discs_mm")),
        )
        return replace(sheet, test_plan=plan)

    return _save(request, actor, code, True, typed, edit)


def head_values(sheet: LimitSheet) -> Values:
    """The head as its form shows it."""
    return {
        "title": sheet.title,
        "document_reference": sheet.document_reference,
        "document_revision": sheet.document_revision,
        "notice": sheet.notice,
        "discs_added_max": str(sheet.discs_added_max),
        "overhaul_hours": "" if sheet.overhaul_hours is None else str(sheet.overhaul_hours),
    }


def plan_values(sheet: LimitSheet) -> Values:
    """The opening pressure as its form shows it."""
    plan = sheet.test_plan
    return {
        "opening_set_bar": number(plan.opening_set_bar),
        "opening_lower_bar": number(plan.opening_lower_bar),
        "opening_upper_bar": number(plan.opening_upper_bar),
        "spring_rate_n_per_mm": number(plan.spring_rate_n_per_mm),
        "guide_mm": number(plan.guide_mm),
        "seat_mm": number(plan.seat_mm),
        "discs_mm": ", ".join(plain(disc) for disc in plan.discs_mm),
    }


def _save(request: Request, actor: Actor, code: str, plan: bool, typed: Typed, edit: Edit) -> Response:
    shop = shop_of(request)
    draft = draft_or_404(shop, code)
    try:
        save_edit(shop, actor, draft, typed.version, edit)
    except DomainError as error:
        status, seen = status_of_form(error), seen_again(typed, error, draft.version)
        return _page(request, actor, code, plan, typed.shown(error), seen, status)
    return see_other(f"/limit-sheets/{code}/draft#{'steps' if plan else 'head'}", request)


def _page(
    request: Request, actor: Actor, code: str, plan: bool, form: FormState, seen: int | None = None, status: int = 200
) -> Response:
    renderer = renderer_of(request)
    draft = draft_or_404(shop_of(request), code)
    context = HeadPage(
        page=renderer.frame(f"Draft of {code}", actor, "/limit-sheets"),
        code=code,
        address=f"/limit-sheets/{code}/draft",
        plan=plan,
        seen=draft.version if seen is None else seen,
        form=form,
        form_key=new_form_key(),
    )
    return renderer.page("limit_sheets/draft_head.html", context, status)
