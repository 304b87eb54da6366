"""`spindlebook keys …`: the keys that sign release certificates, made, rotated and revoked."""

import os
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer

from service.cli.calc import OneSentenceGroup

keys = typer.Typer(
    name="keys", cls=OneSentenceGroup, no_args_is_help=True, help="The keys that sign release certificates."
)

AUTHORITY, SIGNING, PUBLIC, REVOKED = "authority.p12", "signing-key.p12", "workshop-certificate.pem", "revoked.pem"
PASSWORD_VARIABLE, AUTHORITY_VARIABLE = "SPINDLEBOOK_SIGNING_PASSWORD", "SPINDLEBOOK_AUTHORITY_PASSWORD"

Folder = Annotated[Path, typer.Option("--dir", help="Folder of the keys.")]
_KEYS = Path(".spindlebook/keys")


@keys.command("init")
def init(
    workshop: Annotated[str, typer.Argument(help="The workshop's name in its keys.")], folder: Folder = _KEYS
) -> None:
    """Make a certificate authority and a first signing key; existing files are never overwritten."""
    from service.app import utc_now
    from service.documents.signing.key_making import make_authority, make_signing_key
    from service.documents.signing.refusal import KeysRefused

    for name in (AUTHORITY, SIGNING, PUBLIC):
        if (folder / name).exists():
            raise KeysRefused("keys-exist", f"{folder / name} exists: rotate the key, or choose another folder.")
    authority_word = _password(AUTHORITY_VARIABLE, "Password for the authority's file", new=True)
    signing_word = _password(PASSWORD_VARIABLE, "Password for the signing key's file", new=True)
    now = utc_now()
    authority = make_authority(workshop, now)
    signing = make_signing_key(authority, workshop, now)
    files = {
        AUTHORITY: authority.locked(authority_word),
        SIGNING: signing.locked(signing_word),
        PUBLIC: authority.public_pem,
    }
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    for name, content in files.items():
        write_key_file(folder / name, content)
    typer.echo(f"Keys made in {folder}.")
    typer.echo(f"Set SPINDLEBOOK_SIGNING_KEY={folder / SIGNING} and SPINDLEBOOK_AUTHORITY={folder / PUBLIC}.")
    typer.echo(f"Take {AUTHORITY} off this machine and keep it safe: it makes and revokes keys.")
    typer.echo(f"Hand {PUBLIC} to whoever checks certificates off line.")


@keys.command("rotate")
def rotate(
    workshop: Annotated[str, typer.Argument(help="The workshop's name in the new key.")], folder: Folder = _KEYS
) -> None:
    """Make a new signing key under the same authority; the one before is kept beside it and stays believed."""
    from service.app import utc_now
    from service.documents.signing.key_making import make_signing_key, open_authority

    authority = open_authority(key_file(folder / AUTHORITY), _password(AUTHORITY_VARIABLE, "Password of the authority"))
    now = utc_now()
    signing = make_signing_key(authority, workshop, now)
    content = signing.locked(_password(PASSWORD_VARIABLE, "Password for the new signing key's file", new=True))
    before = folder / SIGNING
    if before.exists():
        before.rename(folder / f"signing-key-until-{now:%Y%m%dT%H%M%SZ}.p12")
    write_key_file(before, content)
    typer.echo(f"New signing key {signing.certificate.serial_number:x}. Restart the service to sign with it.")


@keys.command("revoke")
def revoke(
    serial: Annotated[
        str, typer.Argument(help="Serial number of the signing key, hexadecimal, as 'verify' prints it.")
    ],
    since: Annotated[
        datetime | None, typer.Option(formats=["%Y-%m-%d", "%Y-%m-%dT%H:%M:%S"], help="Not believed since (UTC).")
    ] = None,
    folder: Folder = _KEYS,
) -> None:
    """Put a signing key on the list of revoked keys that the service and 'verify' read."""
    from service.app import utc_now
    from service.documents.signing.key_making import (
        RevokedKey,
        open_authority,
        revocation_list,
        revoked_keys,
    )
    from service.documents.signing.refusal import KeysRefused

    try:
        number = int(serial, 16)
    except ValueError as error:
        raise KeysRefused("serial", "Give the key's serial number in hexadecimal digits.") from error
    authority = open_authority(key_file(folder / AUTHORITY), _password(AUTHORITY_VARIABLE, "Password of the authority"))
    now = utc_now()
    listed = folder / REVOKED
    earlier = revoked_keys(listed.read_bytes()) if listed.exists() else ()
    others = tuple(one for one in earlier if one.serial != number)
    moment = now if since is None else since.replace(tzinfo=UTC)
    listed.write_bytes(revocation_list(authority, (*others, RevokedKey(number, moment)), now))
    typer.echo(f"Revoked since {moment:%Y-%m-%d %H:%M} UTC. Hand {listed} out with the workshop's certificate.")


def write_key_file(place: Path, content: bytes) -> None:
    """Write a file that only its owner may read; raises FileExistsError where it exists."""
    with open(os.open(place, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as out:
        out.write(content)


def key_file(place: Path) -> bytes:
    """The bytes of a file; raises KeysRefused where it cannot be read."""
    from service.documents.signing.refusal import KeysRefused

    try:
        return place.read_bytes()
    except OSError as error:
        raise KeysRefused("key-file", f"{place} cannot be read ({error.strerror}).") from error


def _password(variable: str, prompt: str, *, new: bool = False) -> str:
    """From the environment, else asked: never an argument, which other users of the machine could read."""
    return os.environ.get(variable) or str(typer.prompt(prompt, hide_input=True, confirmation_prompt=new))
