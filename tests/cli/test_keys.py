"""Keys made, rotated and revoked at the terminal, and certificates checked off line with what was handed out."""

import json
import stat
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from service.cli.main import app
from service.documents.signing.signer import signer_of_file
from tests.documents.signing.test_signing import document

Ask = Callable[..., Result]
SIGNING, AUTHORITY = "long enough to sign", "long enough to issue"
RELEASED = datetime.now(UTC)


@pytest.fixture
def ask(tmp_path: Path) -> Ask:
    """Runs `spindlebook …` in a folder of keys of the test's own."""
    words = {"SPINDLEBOOK_SIGNING_PASSWORD": SIGNING, "SPINDLEBOOK_AUTHORITY_PASSWORD": AUTHORITY}

    def run(*arguments: str, **more: str) -> Result:
        return CliRunner(env=words | more).invoke(app, list(arguments))

    return run


@pytest.fixture
def folder(tmp_path: Path, ask: Ask) -> Path:
    """Keys as `keys init` makes them."""
    made = ask("keys", "init", "Invented Injector Works", "--dir", str(tmp_path / "keys"))
    assert made.exit_code == 0, made.output
    assert SIGNING not in made.output
    return tmp_path / "keys"


def sign(folder: Path) -> Path:
    """A certificate signed now with the key in the folder."""
    signer = signer_of_file((folder / "signing-key.p12").read_bytes(), SIGNING)
    file = folder / "certificate.pdf"
    file.write_bytes(signer.signed(document(), datetime.now(UTC), "Released"))
    return file


def verify(ask: Ask, file: Path, folder: Path, *more: str) -> tuple[int, dict[str, object]]:
    """Exit status and answer."""
    trust = ("--certificate", str(folder / "workshop-certificate.pem"))
    result = ask("verify", str(file), *trust, "--json", *more)
    answer: dict[str, object] = json.loads(result.stdout)
    return result.exit_code, answer


def test_the_keys_made_are_for_their_owner_alone_and_sign_what_anybody_can_verify(ask: Ask, folder: Path) -> None:
    for name in ("authority.p12", "signing-key.p12"):
        assert stat.S_IMODE((folder / name).stat().st_mode) == 0o600
    status, answer = verify(ask, sign(folder), folder)
    assert status == 0
    assert answer["genuine"] is True
    assert answer["number"] == "RC-2026-0042"


def test_a_certificate_of_another_serial_is_not_taken_for_this_injectors(ask: Ask, folder: Path) -> None:
    status, answer = verify(ask, sign(folder), folder, "--serial", "SN-1")
    assert status == 1
    assert answer["genuine"] is False
    assert "not for SN-1" in str(answer["sentence"])
    assert verify(ask, sign(folder), folder, "--serial", "SN-48213-B")[0] == 0


def test_an_altered_file_ends_with_status_1_and_says_so(ask: Ask, folder: Path) -> None:
    file = sign(folder)
    content = bytearray(file.read_bytes())
    content[5000] ^= 1
    file.write_bytes(content)
    result = ask("verify", str(file), "--certificate", str(folder / "workshop-certificate.pem"))
    assert result.exit_code == 1
    assert "changed after it was signed" in result.stdout


def test_keys_that_exist_are_never_overwritten(ask: Ask, folder: Path) -> None:
    before = (folder / "signing-key.p12").read_bytes()
    again = ask("keys", "init", "Invented Injector Works", "--dir", str(folder))
    assert again.exit_code == 2
    assert "exists" in again.stderr
    assert (folder / "signing-key.p12").read_bytes() == before


def test_after_a_rotation_both_keys_are_believed_and_the_old_one_is_kept(ask: Ask, folder: Path) -> None:
    old = sign(folder).rename(folder / "old.pdf")
    assert ask("keys", "rotate", "Invented Injector Works", "--dir", str(folder)).exit_code == 0
    new = sign(folder)
    first, second = verify(ask, old, folder), verify(ask, new, folder)
    assert (first[0], second[0]) == (0, 0)
    assert first[1]["key"] != second[1]["key"]
    assert len(list(folder.glob("signing-key-until-*.p12"))) == 1


def test_a_revoked_key_is_no_longer_believed_and_the_others_are(ask: Ask, folder: Path) -> None:
    stolen = sign(folder).rename(folder / "stolen.pdf")
    serial = str(verify(ask, stolen, folder)[1]["key"])
    assert ask("keys", "rotate", "Invented Injector Works", "--dir", str(folder)).exit_code == 0
    revoked = ask("keys", "revoke", serial, "--since", "2026-01-01", "--dir", str(folder))
    assert revoked.exit_code == 0, revoked.output
    listed = ("--revoked", str(folder / "revoked.pem"))
    status, answer = verify(ask, stolen, folder, *listed)
    assert (status, answer["standing"]) == (1, "revoked")
    assert str(answer["revoked_since"]).startswith("2026-01-01")
    assert verify(ask, sign(folder), folder, *listed)[0] == 0


@pytest.mark.parametrize(
    ("command", "sentence"),
    [
        (("keys", "revoke", "no-number"), "hexadecimal"),
        (("keys", "init", " "), "1 to 64"),
        (("verify", "nothing.pdf", "--certificate", "nothing.pem"), "cannot be read"),
    ],
)
def test_bad_input_ends_with_one_sentence(ask: Ask, tmp_path: Path, command: tuple[str, ...], sentence: str) -> None:
    where = () if command[0] == "verify" else ("--dir", str(tmp_path / "none"))
    refused = ask(*command, *where)
    assert refused.exit_code == 2
    assert sentence in refused.stderr
    assert not (tmp_path / "none").exists()


def test_a_wrong_password_of_the_authority_is_said(ask: Ask, folder: Path) -> None:
    refused = ask(
        "keys", "rotate", "Invented Injector Works", "--dir", str(folder), SPINDLEBOOK_AUTHORITY_PASSWORD="another word"
    )
    assert refused.exit_code == 2
    assert "does not open" in refused.stderr


def test_the_service_does_not_start_with_a_key_that_it_cannot_open(ask: Ask, folder: Path, tmp_path: Path) -> None:
    data = {"SPINDLEBOOK_DATA_DIR": str(tmp_path / "data"), "SPINDLEBOOK_SIGNING_KEY": str(folder / "signing-key.p12")}
    assert ask("migrate", **data).exit_code == 0
    refused = ask("serve", "--port", "1", **data | {"SPINDLEBOOK_SIGNING_PASSWORD": "another password"})
    assert refused.exit_code == 2
    assert "does not open the signing key" in refused.stderr
