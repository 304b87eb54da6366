"""All page routers, and the busy routes that are tried before them."""

import re

from fastapi import APIRouter
from starlette.routing import BaseRoute

from service.pages import (
    approvals,
    bench_traces,
    board,
    certificates,
    consignments,
    decision_rule,
    desk_calculators,
    fleet,
    fleets,
    instruments,
    journal,
    journal_check,
    limit_sheets,
    people,
    person_corrections,
    photographs,
    recalls,
    sign_in,
    test_rigs,
    units,
)
from service.pages.bench_traces import places
from service.pages.desk_calculators import hole_image, roundness, trace
from service.pages.instruments import scans
from service.pages.overhauls import (
    examination,
    label,
    overview,
    profile_form,
    proving,
    rebuild,
    rejudging,
    release,
    settlement,
    step,
    strip,
)
from service.pages.photographs import upload


def busy_routes() -> tuple[BaseRoute, ...]:
    """Plain routes of the busiest pages: they stand first, outside the framework's machinery."""
    return units.ROUTES


def upload_limits() -> tuple[tuple[re.Pattern[str], int], ...]:
    """Addresses that take files larger than a form, each with the most bytes that it takes."""
    return (
        (scans.UPLOAD_PATHS, scans.UPLOAD_LIMIT_BYTES),
        (roundness.UPLOAD_PATHS, roundness.UPLOAD_LIMIT_BYTES),
        (trace.UPLOAD_PATHS, trace.UPLOAD_LIMIT_BYTES),
        (hole_image.UPLOAD_PATHS, hole_image.UPLOAD_LIMIT_BYTES),
        (places.UPLOAD_PATHS, places.UPLOAD_LIMIT_BYTES),
        (upload.UPLOAD_PATHS, upload.UPLOAD_LIMIT_BYTES),
        (certificates.UPLOAD_PATHS, certificates.UPLOAD_LIMIT_BYTES),
        (profile_form.UPLOAD_PATHS, profile_form.UPLOAD_LIMIT_BYTES),
    )


def page_routers() -> tuple[APIRouter, ...]:
    """Every router of HTML pages."""
    return (
        board.router,
        fleet.router,
        approvals.router,
        consignments.router,
        sign_in.router,
        fleets.router,
        instruments.router,
        test_rigs.router,
        recalls.router,
        decision_rule.router,
        people.router,
        person_corrections.router,
        journal.router,
        journal_check.router,
        limit_sheets.router,
        overview.router,
        strip.router,
        examination.router,
        rejudging.router,
        label.router,
        settlement.router,
        rebuild.router,
        proving.router,
        step.router,
        bench_traces.router,
        release.router,
        photographs.router,
        certificates.router,
        desk_calculators.router,
    )
