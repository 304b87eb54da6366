"""The unit's status page under load, signed in and scoped to one fleet, beside peers that serve a like page.

    .venv/bin/python -m tests.bench.status_page --units 1000 10000 1000000 --peers DIR --peers-venv DIR

`--peers` holds make_data.py, django_page.py and floor.py; their environment has django, gunicorn, uvicorn[standard],
starlette and jinja2. Without it only our own figures are printed. Needs wrk. All servers run at once and are driven
in turn, round by round, so that whatever else the machine does meets all of them alike.
"""

import argparse
import subprocess
import sys
import tempfile
from contextlib import ExitStack
from pathlib import Path

import httpx

from seed_demo.bulk import load_units
from service.records.migrations import migrate
from service.records.store import Store
from tests.bench.driven import Target, drive, free_port, running
from tests.registered_fleet import PASSWORD, register_fleet

WANTED_RATIO, WANTED_GROWTH = 3.0, 1.2


def main() -> None:
    """Prepare, drive, print."""
    asked = _arguments()
    with tempfile.TemporaryDirectory(prefix="spindlebook-bench-") as made, ExitStack() as servers:
        folder = asked.folder or Path(made)
        folder.mkdir(parents=True, exist_ok=True)
        targets = [target for units in asked.units for target in _targets(asked, folder, units)]
        for target in targets:
            servers.enter_context(running(target))
            if target.name == "ours":
                target.cookie = _signed_in(target.port)
            drive(target, 1, keep=False)
        for _ in range(asked.rounds):
            for target in targets:
                drive(target, asked.seconds)
    _print(targets)


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="Drive the unit's status page, and peers beside it.")
    parser.add_argument(
        "--units", type=int, nargs="+", default=[1_000, 10_000, 1_000_000], help="sizes of the database"
    )
    parser.add_argument("--seconds", type=int, default=5, help="length of a round")
    parser.add_argument("--rounds", type=int, default=3, help="rounds; the median counts")
    parser.add_argument("--folder", type=Path, help="where databases are kept for the next run")
    parser.add_argument("--peers", type=Path, help="folder of the peers' pages")
    parser.add_argument("--peers-venv", type=Path, help="virtual environment that the peers run in")
    asked = parser.parse_args()
    if asked.peers and not asked.peers_venv:
        parser.error("--peers needs --peers-venv")
    return asked


def _targets(asked: argparse.Namespace, folder: Path, units: int) -> list[Target]:
    targets = [_ours(folder, units)]
    if asked.peers:
        targets += _peers(asked.peers.resolve(), asked.peers_venv.resolve() / "bin", folder, units)
    return targets


def _ours(folder: Path, units: int) -> Target:
    file, serials, port = folder / f"ours-{units}.sqlite3", folder / f"ours-{units}.txt", free_port()
    store = Store(f"sqlite:///{file}")
    try:
        if not serials.exists():
            migrate(store)
            fleet = register_fleet(store)
            load_units(store, units)
            own = "SELECT u.serial FROM unit u JOIN vessel v ON v.id = u.vessel_id WHERE v.operator_id = ?"
            serials.write_text("\n".join(row[0] for row in store.rows(own, (fleet.operator_id,))))
    finally:
        store.close()
    command = [sys.executable, "-m", "uvicorn", "tests.bench.served:app", "--port", str(port), "--no-access-log"]
    environment = {
        "SPINDLEBOOK_DATABASE_URL": store.url,
        "SPINDLEBOOK_PUBLIC_ORIGIN": f"http://127.0.0.1:{port}",
    }
    return Target(
        name="ours",
        units=units,
        command=[*command, "--workers", "1", "--loop", "uvloop", "--http", "httptools", "--log-level", "warning"],
        environment=environment,
        page="/units/%s",
        serials=serials,
        port=port,
    )


def _signed_in(port: int) -> str:
    """The cookie of an office person, who sees one fleet only."""
    origin = f"http://127.0.0.1:{port}"
    form = {"login": "office", "password": PASSWORD}
    answer = httpx.post(f"{origin}/sign-in", data=form, headers={"Origin": origin})
    return answer.headers["set-cookie"].partition(";")[0]


def _peers(pages: Path, programs: Path, folder: Path, units: int) -> list[Target]:
    file, serials = folder / f"peers-{units}.sqlite3", folder / f"peers-{units}.txt"
    if not serials.exists():
        file.unlink(missing_ok=True)
        subprocess.run([sys.executable, str(pages / "make_data.py"), str(units), str(file)], check=True)
        serials.write_text("\n".join(f"SN{number:08d}" for number in range(1, units + 1)))
    environment = {"DB": str(file), "PYTHONPATH": str(pages)}
    django, floor = free_port(), free_port()
    gunicorn = [
        str(programs / "gunicorn"),
        "-w1",
        "-b",
        f"127.0.0.1:{django}",
        "--log-level",
        "error",
        "django_page:app",
    ]
    uvicorn = [
        str(programs / "uvicorn"),
        "floor:app",
        "--port",
        str(floor),
        "--no-access-log",
        "--log-level",
        "warning",
    ]
    return [
        Target("Django", units, gunicorn, environment, "/unit/%s", serials, django),
        Target("floor", units, uvicorn, environment, "/unit/%s", serials, floor),
    ]


def _print(targets: list[Target]) -> None:
    print(f"{'':8}{'units':>10}{'pages/s':>10}{'p99 ms':>9}{'CPU µs/page':>13}")
    for target in targets:
        print(f"{target.name:8}{target.units:>10,}{target.rate:>10,.0f}{target.p99:>9.1f}{target.cost:>13.0f}")
    ours = {target.units: target for target in targets if target.name == "ours"}
    for target in targets:
        if target.name == "Django":
            mine = ours[target.units]
            ratio = mine.rate / target.rate
            reached = ratio >= WANTED_RATIO and mine.p99 < target.p99
            work = target.cost / mine.cost
            told = (
                f"{ratio:.2f} times Django's rate ({work:.2f} by CPU), p99 {mine.p99:.1f} against {target.p99:.1f} ms"
            )
            print(f"at {target.units:,} units: {told}: {'reached' if reached else 'NOT reached'}")
    if len(ours) > 1:
        growth = ours[min(ours)].rate / ours[max(ours)].rate
        work = ours[max(ours)].cost / ours[min(ours)].cost
        told = (
            f"{growth:.2f} times ({work:.2f} by CPU) its own time at {min(ours):,} when there are {max(ours):,} units"
        )
        print(f"{told}: {'reached' if growth <= WANTED_GROWTH else 'NOT reached'}")


if __name__ == "__main__":
    main()
