"""From a token to the person it stands for."""

from service.actions.accounts import token_hash
from service.actions.shop import Actor, Shop
from service.records.column_types import instant_text
from service.records.hot_reads import ask, person_of_token
from service.workshop.vocabulary import Role


async def actor_of_token(shop: Shop, token: str) -> Actor | None:
    """The person whose sign-in the token is, None when there is none or it has ended."""
    row = await ask(shop.store, person_of_token, shop.store, token_hash(token), instant_text(shop.now()))
    if row is None:
        return None
    return Actor(row.person_id, row.name, Role(row.role), row.operator_id, row.login)
