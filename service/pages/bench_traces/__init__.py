"""Pressure traces of bench runs: those of a step with the form that keeps another, and one with what it shows."""

from fastapi import APIRouter

from service.pages.bench_traces import of_step, trace

router = APIRouter()
for _part in (of_step, trace):
    router.include_router(_part.router)
