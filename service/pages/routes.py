"""All page routers, the hot one first: routes are tried in order."""

from fastapi import APIRouter

from service.pages import board, consignments, fleets, instruments, journal, people, sign_in, units


def page_routers() -> tuple[APIRouter, ...]:
    """Every router of HTML pages."""
    return (
        units.router,
        board.router,
        consignments.router,
        sign_in.router,
        fleets.router,
        instruments.router,
        people.router,
        journal.router,
    )
