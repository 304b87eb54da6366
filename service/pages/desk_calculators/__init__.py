"""Desk calculators: every calculation of the product on a page of its own, by the functions that judge the readings."""

from fastapi import APIRouter

from service.pages.desk_calculators import conformity, fits, imo, limits, pins, roundness, shelf, uncertainty

router = APIRouter()
for part in (shelf, limits, fits, pins, conformity, uncertainty, roundness, imo):
    router.include_router(part.router)
