"""Pages of the fleets: operators, vessels, engines, and the injector types that the engines take."""

from fastapi import APIRouter

from service.pages.fleets import engine_set, engines, fleet_list, injector_types, operators, vessels

router = APIRouter()
for part in (fleet_list, operators, vessels, engines, engine_set, injector_types):
    router.include_router(part.router)
