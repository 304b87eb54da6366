"""All page routers, the hot one first: routes are tried in order."""

from fastapi import APIRouter

from service.pages import sign_in


def page_routers() -> tuple[APIRouter, ...]:
    """Every router of HTML pages."""
    return (sign_in.router,)
