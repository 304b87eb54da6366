"""`spindlebook sheet …`: limit sheets as files."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from service.cli.calc import OneSentenceGroup
from service.metrology.errors import DomainError

if TYPE_CHECKING:
    from service.actions.shop import Shop

sheets = typer.Typer(name="sheet", cls=OneSentenceGroup, no_args_is_help=True, help="Limit sheets as files.")


@sheets.command("import")
def import_file(
    file: Annotated[Path, typer.Argument(help="The sheet file, JSON by shared/schemas/limit-sheet.schema.json.")],
    by: Annotated[str, typer.Option(help="Login of the manager whose draft it becomes.")],
) -> None:
    """Take a sheet file as the draft of its injector type; a manager reads and approves it on the pages."""
    from service.actions.accounts import actor_by_login
    from service.actions.sheets import import_sheet
    from service.app import make_shop
    from service.cli.serving import tell_findings
    from service.records.sheet_file import sheet_from_json
    from service.settings import Settings

    text = _read(file)
    type_code = sheet_from_json(text).injector_type
    shop = make_shop(Settings())
    try:
        tell_findings(shop.store, quiet=True)
        with shop.store.reading() as session:
            manager = actor_by_login(session, by.strip().lower())
        revision = import_sheet(shop, manager, text, type_code=type_code)
    finally:
        shop.store.close()
    typer.echo(f"Revision {revision} of {type_code} is a draft now.")


@sheets.command("export")
def export_file(
    type_code: Annotated[str, typer.Argument(help="Code of the injector type.")],
    revision: Annotated[int | None, typer.Option(min=1, help="Without it: the approved revision.")] = None,
    output: Annotated[Path | None, typer.Option(help="File to write; without it the sheet is printed.")] = None,
) -> None:
    """Give a revision of a limit sheet as a file that can be imported elsewhere."""
    from service.actions.sheets import export_sheet
    from service.app import make_shop
    from service.cli.serving import tell_findings
    from service.settings import Settings

    shop = make_shop(Settings())
    try:
        tell_findings(shop.store, quiet=True)
        number = revision if revision is not None else _approved(shop, type_code)
        text = export_sheet(shop, type_code=type_code, revision=number)
    finally:
        shop.store.close()
    if output is None:
        typer.echo(text, nl=False)
        return
    try:
        output.write_bytes(text.encode("utf-8"))
    except OSError as error:
        raise DomainError("file", f"{output} cannot be written: {error.strerror}.", "output") from error


@sheets.command("schema")
def schema() -> None:
    """Print the JSON Schema of the sheet file, as published in shared/schemas/."""
    import json

    from service.records.sheet_file import sheet_schema

    typer.echo(json.dumps(sheet_schema(), indent=2, ensure_ascii=False))


def _read(file: Path) -> bytes:
    try:
        return file.read_bytes()
    except OSError as error:
        raise DomainError("file", f"{file} cannot be read: {error.strerror}.", "file") from error


def _approved(shop: "Shop", type_code: str) -> int:
    from service.records.registers import approved_sheet, type_by_code

    with shop.store.reading() as session:
        kind = type_by_code(session, type_code)
        sheet = approved_sheet(session, kind.id or 0) if kind else None
    if sheet is None:
        raise DomainError("no-sheet", f"{type_code} has no approved limit sheet: name a revision.", "revision")
    return sheet.revision
