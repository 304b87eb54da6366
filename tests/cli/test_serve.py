"""`spindlebook serve` as a process: it answers, follows its port, and does not start on a database unfit for it."""

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import httpx
import pytest
from typer.testing import CliRunner

from service.cli.main import app
from service.cli.serving import settings_at

PASSWORD = "long enough to keep"  # noqa: S105 - of an invented person


def _spindlebook(*arguments: str) -> list[str]:
    return [sys.executable, "-m", "service.cli.main", *arguments]


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def _served(folder: Path, port: int) -> Iterator[None]:
    environment = {**os.environ, "SPINDLEBOOK_DATA_DIR": str(folder)}
    command = _spindlebook("serve", "--port", str(port))
    with subprocess.Popen(
        command, env=environment, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    ) as process:
        try:
            _wait_for(port, process)
            yield
        finally:
            process.send_signal(signal.SIGINT)
            process.communicate(timeout=20)


def _wait_for(port: int, process: "subprocess.Popen[str]") -> None:
    deadline = time.monotonic() + 60
    while time.monotonic() < deadline:
        if process.poll() is not None:
            pytest.fail(f"the server ended: {process.communicate()[0]}")
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", port)) == 0:
                return
        time.sleep(0.1)
    pytest.fail("the server did not listen within 60 s")


def test_a_person_signs_in_under_whatever_port_is_served(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SPINDLEBOOK_DATA_DIR", str(tmp_path))
    monkeypatch.delenv("SPINDLEBOOK_PUBLIC_ORIGIN", raising=False)
    runner = CliRunner()
    assert runner.invoke(app, ["migrate"]).exit_code == 0
    add = ["user", "add", "marta", "--name", "Marta Invented", "--role", "manager", "--password-stdin"]
    assert runner.invoke(app, add, input=f"{PASSWORD}\n").exit_code == 0
    port = _free_port()
    with _served(tmp_path, port), httpx.Client(timeout=20) as client:
        form = {"login": "marta", "password": PASSWORD}
        for host in ("127.0.0.1", "localhost"):
            own = f"http://{host}:{port}"
            assert client.get(f"{own}/sign-in").status_code == 200
            assert client.post(f"{own}/sign-in", data=form, headers={"Origin": own}).status_code == 303
        foreign = client.post(f"{own}/sign-in", data=form, headers={"Origin": "http://elsewhere.invalid"})
        assert foreign.status_code == 403
        assert "<code>" not in client.get(f"{own}/sign-in").text, "no password is shown outside the demo"


def test_the_service_does_not_start_on_a_database_that_is_not_migrated(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SPINDLEBOOK_DATA_DIR", str(tmp_path))
    refused = CliRunner().invoke(app, ["serve", "--port", str(_free_port())])
    assert refused.exit_code == 2
    assert "spindlebook migrate" in refused.stderr
    assert len(refused.stderr.strip().splitlines()) == 1


def test_a_port_that_is_taken_is_told_in_one_sentence(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SPINDLEBOOK_DATA_DIR", str(tmp_path))
    assert CliRunner().invoke(app, ["migrate"]).exit_code == 0
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        refused = CliRunner().invoke(app, ["serve", "--port", str(other.getsockname()[1])])
    assert refused.exit_code == 2
    assert "--port" in refused.stderr
    assert "Nobody can sign in yet" in refused.stderr, "an empty workshop is warned of, not refused"


def test_the_public_origin_follows_the_port_on_this_machine_and_a_setting_wins(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.delenv("SPINDLEBOOK_PUBLIC_ORIGIN", raising=False)
    assert settings_at("127.0.0.1", 8123).public_origin == "http://127.0.0.1:8123"
    monkeypatch.setenv("SPINDLEBOOK_PUBLIC_ORIGIN", "https://shop.invalid")
    assert settings_at("127.0.0.1", 8123).public_origin == "https://shop.invalid"


def test_help_answers_without_loading_the_web_the_database_or_the_numbers() -> None:
    program = (
        "import sys\n"
        "from service.cli.main import app\n"
        "try:\n    app(['--help'])\n"
        "except SystemExit:\n    pass\n"
        "heavy = {'fastapi', 'sqlalchemy', 'sqlmodel', 'pydantic', 'numpy', 'scipy', 'pint', 'uvicorn', 'typst'}\n"
        "print('LOADED', sorted(heavy & set(sys.modules)))\n"
    )
    answer = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert "demo" in answer.stdout
    assert answer.stdout.rstrip().endswith("LOADED []")


@pytest.mark.parametrize("arguments", [["sail"], ["serve", "--port", "0"], ["user", "add"]])
def test_a_command_that_is_not_understood_ends_with_status_2_and_one_sentence(arguments: list[str]) -> None:
    refused = subprocess.run(_spindlebook(*arguments), capture_output=True, text=True, check=False)
    assert refused.returncode == 2
    assert len(refused.stderr.strip().splitlines()) == 1
