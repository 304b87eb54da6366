"""`spindlebook user …`: people added on the server itself, the first manager among them."""

import sys
from typing import Annotated

import typer

from service.cli.calc import OneSentenceGroup
from service.metrology.errors import DomainError
from service.workshop.vocabulary import Role

people = typer.Typer(name="user", cls=OneSentenceGroup, no_args_is_help=True, help="People who sign in.")


@people.callback()
def _group() -> None:
    """Keeps `user add` a command of a group while it is the only one."""


@people.command("add")
def add(
    login: Annotated[str, typer.Argument(help="What the person types to sign in.")],
    name: Annotated[str, typer.Option(help="Name as certificates print it.")],
    role: Annotated[Role, typer.Option(help="What the person may do.")],
    operator: Annotated[str, typer.Option(help="The fleet's operator, for the ship's office.")] = "",
    password_stdin: Annotated[
        bool, typer.Option("--password-stdin", help="Read the password from standard input instead of asking.")
    ] = False,
) -> None:
    """Add a person; the password is asked twice and has at least 12 characters."""
    from service.actions.accounts import add_person
    from service.app import make_shop
    from service.cli.serving import tell_findings
    from service.settings import Settings

    shop = make_shop(Settings())
    try:
        tell_findings(shop.store, quiet=True)
        password = _password_from_stdin() if password_stdin else _asked_twice()
        add_person(shop, None, login=login, name=name, role=role, password=password, operator=operator)
    finally:
        shop.store.close()
    typer.echo(f"{login.strip().lower()} can sign in as {role.label.lower()}.")


def _password_from_stdin() -> str:
    password = sys.stdin.readline().rstrip("\r\n")
    if not password:
        raise DomainError("password", "Standard input holds no password: pipe it in, on one line.", "password")
    return password


def _asked_twice() -> str:
    return str(typer.prompt("Password", hide_input=True, confirmation_prompt=True))
