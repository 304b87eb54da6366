"""The JSON API under /api/v1: the same actions as the pages."""

from fastapi import APIRouter


def api_router() -> APIRouter:
    """Every route of the API."""
    return APIRouter()
