"""All page routers, the hot one first: routes are tried in order."""

from fastapi import APIRouter

from service.pages import sign_in, units


def page_routers() -> tuple[APIRouter, ...]:
    """Every router of HTML pages."""
    return (units.router, sign_in.router)
