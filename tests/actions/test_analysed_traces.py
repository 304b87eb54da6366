"""What was found in a trace is kept in memory: the newest ones, and never for other bytes or another reading."""

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier
from time import sleep

from service.actions.analysed_traces import AnalysedTraces
from tests.hydraulics.invented_traces import Bench, as_csv

FILE = as_csv(*Bench(rate_hz=50).rest(0.5).pump(200, 2).relieve().made(0.001))


def test_a_trace_is_read_again_only_when_fifty_others_were_looked_at_since() -> None:
    shelf, read = AnalysedTraces(), []

    def look(digest: str, unit: str = "bar") -> float:
        def content() -> bytes:
            read.append((digest, unit))
            return FILE

        return shelf.found((digest,), {"pressure_unit": unit}, content).recognised.bar_per_unit

    assert (look("first"), look("first", "MPa"), look("first")) == (1, 10, 1)
    assert read == [("first", "bar"), ("first", "MPa")]
    for number in range(49):
        look(f"other {number}")
    look("first")
    assert read[-1] == ("other 48", "bar")
    look("first", "MPa")
    assert read[-1] == ("first", "MPa")


def test_two_who_look_at_a_trace_at_once_wait_for_one_analysis() -> None:
    shelf, together, read = AnalysedTraces(), Barrier(2), []

    def content() -> bytes:
        read.append("once")
        sleep(0.05)  # long enough for the other to ask
        return FILE

    def look(_: int) -> int:
        together.wait()
        return id(shelf.found(("same",), {}, content))

    with ThreadPoolExecutor(2) as people:
        assert len(set(people.map(look, range(2)))) == 1
    assert read == ["once"]
