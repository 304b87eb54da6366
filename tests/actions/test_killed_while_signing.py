"""A process killed in the midst of signing: no number is lost, and there is no file without its row."""

import os
import signal
import subprocess
import sys
from pathlib import Path

from service.actions.releasing import sign_release
from service.actions.shop import Shop
from service.workshop.vocabulary import Stage
from tests.actions.at_the_bench import bring_to, form, loaded
from tests.registered_fleet import PASSWORD, Fleet

_SIGNING = """
import sys, time
from service.documents.signing import signer
from service.records.store import Store
from service.actions.accounts import actor_by_login
from service.actions.recording import Form
from service.actions.releasing import sign_release
from tests.registered_fleet import PASSWORD, shop_over

def killed_here(*arguments):
    print("signing", flush=True)
    time.sleep(60)

signer._sign = killed_here
shop = shop_over(Store(sys.argv[1]))
form = Form("form-of-the-killed", int(sys.argv[3]))
with shop.store.reading() as session:
    manager = actor_by_login(session, "manager")
sign_release(shop, manager, sys.argv[2], form, password=PASSWORD)
"""


def test_killed_between_number_and_file_nothing_was_issued_and_the_number_comes_again(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.PROVED)
    seen = str(loaded(shop, number).record.last_seq)
    root = Path(__file__).resolve().parents[2]
    with subprocess.Popen(
        [sys.executable, "-c", _SIGNING, shop.store.url, number, seen],
        cwd=root,
        stdout=subprocess.PIPE,
        env={**os.environ, "PYTHONPATH": str(root)},
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == b"signing\n", "the number is taken, the file is not there yet"
        process.send_signal(signal.SIGKILL)
    for table in ("certificate", "certificate_file"):
        assert shop.store.rows(f"SELECT count(*) FROM {table}")[0][0] == 0  # noqa: S608
    assert loaded(shop, number).row.stage == Stage.PROVED.value
    issued = sign_release(shop, fleet.manager, number, form(shop, number), password=PASSWORD)
    assert issued.number == "RC-2026-00001"
