"""`spindlebook verify`: a certificate checked off line, with nothing but the workshop's public certificate."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from service.cli.answers import AsJson, to_json
from service.cli.keys import key_file

if TYPE_CHECKING:
    from service.documents.signing.verification import Examination


def verify(
    file: Annotated[Path, typer.Argument(help="The PDF to check.")],
    certificate: Annotated[Path, typer.Option("--certificate", help="The workshop's public certificate (PEM).")],
    revoked: Annotated[Path | None, typer.Option(help="The workshop's list of revoked keys (PEM).")] = None,
    time_stamp_roots: Annotated[Path | None, typer.Option(help="Certificates of the time-stamp server (PEM).")] = None,
    serial: Annotated[str, typer.Option(help="Serial number that the injector bears: must be the certificate's.")] = "",
    as_json: AsJson = False,
) -> None:
    """Check a certificate off line: exit 0 where it is genuine, 1 where it is not."""
    from service.documents.signing.verification import Trust, examine_file

    optional = (revoked, time_stamp_roots)
    trust = Trust(key_file(certificate), *(key_file(one) if one else b"" for one in optional))
    found = examine_file(key_file(file), trust)
    answer = _told(found, serial)
    if as_json:
        typer.echo(to_json(answer))
    else:
        for name, value in answer.items():
            typer.echo(f"{name.replace('_', ' ')}: {'' if value is None else value}")
    if not answer["genuine"]:
        raise typer.Exit(1)


def _told(found: "Examination", serial: str) -> dict[str, object]:
    from service.documents.signing.verification import Standing

    facts = (found.facts or {}).get("certificate", {})
    genuine, sentence = found.standing is Standing.GENUINE, found.standing.sentence
    if genuine and serial and facts.get("serial") != serial:
        genuine, sentence = False, f"Genuine, but issued for serial {facts.get('serial')}, not for {serial}."
    return {
        "genuine": genuine,
        "standing": found.standing.value,
        "sentence": sentence,
        "number": facts.get("number"),
        "serial": facts.get("serial"),
        "signer": found.signer,
        "key": found.key_serial,
        "signed_at": None if found.signed_at is None else found.signed_at.isoformat(),
        "time_stamped": found.stamped,
        "revoked_since": None if found.revoked_since is None else found.revoked_since.isoformat(),
        "note": "Whether it is still the current one, only the workshop's page behind the QR code can say.",
    }
