"""The demonstration as a file that every worker of the test run shares: told once, copied for each test."""

import fcntl
import shutil
from pathlib import Path

import pytest

from seed_demo.scenario import seed_scenario
from service.records.migrations import migrate
from tests.databases import opened
from tests.signing_keys import keyring


def demo_template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A SQLite file with the demonstration up to now; read it or copy it, but never write to it."""
    base = tmp_path_factory.getbasetemp()
    shared = base.parent if base.name.startswith("popen-") else base  # pytest-xdist gives each worker its own
    file = shared / "demonstration.sqlite3"
    with open(shared / "demonstration.lock", "w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not file.exists():
            filling = shared / "demonstration-filling.sqlite3"
            with opened(f"sqlite:///{filling}") as store:
                migrate(store)
                seed_scenario(store, keyring=keyring())
            filling.rename(file)
    return file


def copy_of_demo(template: Path, folder: Path) -> Path:
    """A copy under the name that `Settings(data_dir=folder)` looks for."""
    folder.mkdir(parents=True, exist_ok=True)
    return Path(shutil.copyfile(template, folder / "spindlebook.sqlite3"))
