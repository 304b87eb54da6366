"""The JSON API under /api/v1: the same actions as the pages."""

from fastapi import APIRouter

from service.api import (
    certificates,
    consignments,
    decision_rules,
    limit_sheets,
    opening_pressures,
    recalls,
    sessions,
    units,
)
from service.api.calculations import conformity, imo_numbers, opening_pressure, roundness, sizes, trace, uncertainty
from service.api.calculations import hole_image as loose_hole_images
from service.api.calculations import recuts as recut_forecasts
from service.api.calculations import spray_holes as spray_hole_sizes
from service.api.overhauls import (
    bench_runs,
    bench_traces,
    course,
    examinations,
    hole_images,
    photographs,
    pressure_setting,
    rebuilding,
    recuts,
    rejudgements,
    settling,
    standing,
)
from service.api.registers import (
    calibrations,
    engine_sets,
    engines,
    injector_types,
    instruments,
    operators,
    test_rigs,
    vessels,
)

ROUTERS = tuple(
    module.router
    for module in (
        sessions,
        operators,
        vessels,
        engines,
        engine_sets,
        injector_types,
        instruments,
        calibrations,
        test_rigs,
        decision_rules,
        limit_sheets,
        consignments,
        standing,
        examinations,
        photographs,
        hole_images,
        rejudgements,
        settling,
        rebuilding,
        recuts,
        pressure_setting,
        bench_runs,
        bench_traces,
        course,
        units,
        opening_pressures,
        certificates,
        recalls,
        sizes,
        conformity,
        uncertainty,
        roundness,
        trace,
        loose_hole_images,
        opening_pressure,
        recut_forecasts,
        spray_hole_sizes,
        imo_numbers,
    )
)


def api_router() -> APIRouter:
    """Every route of the API."""
    router = APIRouter()
    for part in ROUTERS:
        router.include_router(part)
    return router
