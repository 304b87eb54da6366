"""Servers under wrk: started on a free port, driven on random serials, stopped again."""

import os
import re
import socket
import subprocess
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from statistics import median

SCRIPT = Path(__file__).with_name("serials.lua")
_MILLISECONDS = {"us": 0.001, "ms": 1.0, "s": 1000.0}


@dataclass
class Target:
    """One server with one database; `rates` per second, `p99s` in ms and `costs` in µs of CPU a page, one a round."""

    name: str
    units: int
    command: list[str]
    environment: dict[str, str]
    page: str
    serials: Path
    port: int
    cookie: str = ""
    rates: list[float] = field(default_factory=list)
    p99s: list[float] = field(default_factory=list)
    costs: list[float] = field(default_factory=list)
    process: int = 0

    @property
    def rate(self) -> float:
        """The median of the rounds."""
        return median(self.rates)

    @property
    def p99(self) -> float:
        """The median of the rounds."""
        return median(self.p99s)

    @property
    def cost(self) -> float:
        """The median of the rounds."""
        return median(self.costs)


def cpu_seconds(process: int) -> float:
    """User and system time that the process and its children have used (Linux)."""
    own = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
    children = Path(f"/proc/{process}/task/{process}/children").read_text().split()
    ticks = int(own[11]) + int(own[12])
    return ticks / os.sysconf("SC_CLK_TCK") + sum(cpu_seconds(int(child)) for child in children)


def free_port() -> int:
    """A port that nobody listens on."""
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


@contextmanager
def running(target: Target) -> Iterator[None]:
    """The target's server while the block lasts."""
    process = subprocess.Popen(target.command, env=os.environ | target.environment)
    target.process = process.pid
    try:
        _wait(target.port, process)
        yield
    finally:
        process.terminate()
        process.wait(20)


def _wait(port: int, process: subprocess.Popen[bytes]) -> None:
    for _ in range(300):
        if process.poll() is not None:
            raise SystemExit(f"the server ended at once: {process.args}")
        try:
            urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=5).close()
            return
        except urllib.error.HTTPError:
            return
        except OSError:
            time.sleep(0.1)
    raise SystemExit(f"no answer on port {port}")


def drive(target: Target, seconds: int, *, keep: bool = True) -> None:
    """One round of wrk: one thread, eight connections. Raises SystemExit where an answer was not 2xx."""
    environment = os.environ | {"SERIALS": str(target.serials), "PAGE": target.page}
    if target.cookie:
        environment["COOKIE"] = target.cookie
    command = ["wrk", "-t1", "-c8", f"-d{seconds}", "--latency", "-s", str(SCRIPT), f"http://127.0.0.1:{target.port}"]
    before = cpu_seconds(target.process)
    told = subprocess.run(command, env=environment, check=True, capture_output=True, text=True).stdout
    if "Non-2xx" in told or "Socket errors" in told:
        raise SystemExit(f"{target.name}: not every answer was right\n{told}")
    rate = re.search(r"Requests/sec:\s+([\d.]+)", told)
    p99 = re.search(r"99%\s+([\d.]+)(us|ms|s)\b", told)
    pages = re.search(r"(\d+) requests in", told)
    if rate is None or p99 is None or pages is None:
        raise SystemExit(f"wrk was not understood:\n{told}")
    if keep:
        target.rates.append(float(rate[1]))
        target.p99s.append(float(p99[1]) * _MILLISECONDS[p99[2]])
        target.costs.append((cpu_seconds(target.process) - before) / int(pages[1]) * 1e6)
