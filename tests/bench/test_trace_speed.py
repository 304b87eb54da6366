"""A pressure trace of 2,000,000 rows is read and analysed in under three seconds and 500 MB, drawn anew in under one.

Run it alone: `.venv/bin/python -m pytest -n0 -s -o addopts= tests/bench/test_trace_speed.py`. The trace is invented:
four times a hold and four openings at 10,000 readings a second, 1 % noise. The work is done in a process of its own, so
that its peak memory is that of the work; counted is the processor's time over both cores, since other work on the
machine stretches the clock's. Both are printed.
"""

import json
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from tests.hydraulics.invented_traces import Bench, as_csv, strokes

ROWS = 2_000_000
SECONDS, MEGABYTES = 3.0, 500.0
REDRAWN_SECONDS = 1.0
WORK = """
import json, sys, time
from pathlib import Path
from service.hydraulics.trace.answer import answer_of, find
from service.hydraulics.trace.asked import asked_of
from service.documents.trace_plot import trace_plot
start, busy = time.perf_counter(), time.process_time()
found = find(Path(sys.argv[1]).read_bytes(), asked_of({}))
answer = answer_of(found)
took, busy = time.perf_counter() - start, time.process_time() - busy
start = time.perf_counter()
trace_plot(found.analysis, window_s=(20.0, 120.0))
drawn = time.perf_counter() - start
status = dict(line.split(":", 1) for line in Path("/proc/self/status").read_text().splitlines())
peak = int(status["VmHWM"].split()[0]) / 1024
print(json.dumps([took, busy, drawn, peak, answer.rows, len(answer.openings), len(answer.holds)]))
"""


@pytest.mark.parametrize("clock", [False, True], ids=["seconds", "timestamps"])
def test_two_million_rows(tmp_path: Path, clock: bool) -> None:
    bench = Bench(rate_hz=10_000, seed=1)
    for _ in range(4):
        strokes(bench)
    times, pressures = bench.rest(ROWS / bench.rate_hz - bench.now).made(0.01)
    file = tmp_path / "trace.csv"
    if clock:
        stamps = np.datetime64("2026-01-02T03:04:05.000000") + np.round(times * 1e6).astype("timedelta64[us]")
        shown = np.datetime_as_string(stamps, unit="us").tolist()
        rows = (f"{stamp},{bar:.3f}\n" for stamp, bar in zip(shown, pressures.tolist(), strict=True))
        file.write_text("time,pressure [bar]\n" + "".join(rows), encoding="utf-8")
    else:
        file.write_bytes(as_csv(times, pressures))
    size = file.stat().st_size / 1e6
    done = subprocess.run([sys.executable, "-c", WORK, str(file)], capture_output=True, text=True, check=True)
    took, busy, drawn, peak, rows, openings, holds = json.loads(done.stdout)
    print(f"\n{rows:,} rows, {size:.0f} MB: {took:.2f} s, {busy:.2f} s our own, peak {peak:.0f} MB")
    print(f"another stretch drawn in {1000 * drawn:.0f} ms")
    assert (rows, openings, holds) == (ROWS, 16, 4)
    assert busy < SECONDS
    assert drawn < REDRAWN_SECONDS
    assert peak < MEGABYTES
