"""Photographs of an overhaul: all of them, one with what was measured in it, its bytes, and measuring a hole."""

from fastapi import APIRouter

from service.pages.photographs import album, hole_image, photograph, pictures

router = APIRouter()
for _part in (album, pictures, hole_image, photograph):
    router.include_router(_part.router)
