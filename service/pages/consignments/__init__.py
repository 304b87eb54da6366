"""Receiving consignments, and looking at what arrived."""

from fastapi import APIRouter

from service.pages.consignments import arrived, choosing_vessel, receiving

router = APIRouter()
for _part in (choosing_vessel, receiving, arrived):
    router.include_router(_part.router)
