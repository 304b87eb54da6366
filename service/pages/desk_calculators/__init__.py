"""Desk calculators: every calculation of the product on a page of its own, by the functions that judge the readings."""

from fastapi import APIRouter

from service.pages.desk_calculators import (
    conformity,
    discs,
    fits,
    hole_image,
    imo,
    limits,
    opening_pressure,
    pins,
    recuts,
    roundness,
    shelf,
    spray_holes,
    trace,
    uncertainty,
)

PARTS = (
    shelf,
    limits,
    fits,
    pins,
    spray_holes,
    conformity,
    uncertainty,
    roundness,
    hole_image,
    opening_pressure,
    discs,
    trace,
    recuts,
    imo,
)

router = APIRouter()
for part in PARTS:
    router.include_router(part.router)
