"""What cannot be read or trusted in a trace is refused in words, or set aside and counted."""

import numpy as np
import pytest

from service.hydraulics.errors import HydraulicsError
from service.hydraulics.trace.analysis import Rig, TraceAnalysis, analyse
from service.hydraulics.trace.answer import TraceFound, find
from service.hydraulics.trace.asked import asked_of
from service.hydraulics.trace.reading import Trace
from tests.hydraulics.invented_traces import Bench, as_csv, strokes


def found(data: bytes, **asked: str) -> TraceFound:
    return find(data, asked_of(asked))


def analysed(bench: Bench, noise: float = 0.002) -> TraceAnalysis:
    times, pressures = bench.made(noise)
    return analyse(Trace(times, pressures, None, len(times), 0))


def some_file() -> bytes:
    return as_csv(*strokes(Bench(rate_hz=100)).made(0.002))


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "trace-empty"),
        (b"\n \n", "trace-empty"),
        (b"\x89PNG\r\n\x1a\n\0\0", "trace-not-text"),
        (b"a letter\nto the office\n", "trace-no-table"),
        (b"time [s];pressure [bar]\r1;2\r3;4\r", "trace-no-table"),
        (b"x" * 300_000, "trace-no-table"),
        (b"time [s];pressure [bar]\n" + b"0;1\n1;2\n", "trace-too-few-rows"),
        (b"time [s];pressure [bara]\n" + b"0;1\n1;2\n", "trace-absolute"),
        (b"time [s];pressure [furlong]\n" + b"0;1\n1;2\n", "trace-unit-unknown"),
        (b"time [s],pressure [bar]\n0,5,200,1\n1,5,201,2\n", "trace-comma-twice"),
        (b"time [s];pressure [bar]\n0,5;200.1\n1,5;201.2\n", "trace-decimal-both"),
        (b"time [s];pressure [bar]\n0,5;1.200,1\n1,5;1.201,2\n", "trace-decimal-both"),
        (b"time [s];flow [l]\n0,5;200\n1,5;201\n", "trace-no-pressure"),
    ],
)
def test_a_file_that_is_no_trace_is_refused(data: bytes, code: str) -> None:
    with pytest.raises(HydraulicsError) as refused:
        found(data)
    assert refused.value.code == code
    assert refused.value.field


def test_reversed_time_is_refused_with_its_row() -> None:
    lines = some_file().splitlines()
    with pytest.raises(HydraulicsError, match="backwards at row 2 "):
        found(b"\n".join([lines[0], *reversed(lines[1:])]))
    lines[40], lines[41] = lines[41], lines[40]
    with pytest.raises(HydraulicsError, match="backwards at row 41 "):
        found(b"\n".join(lines))


def test_one_time_for_all_rows_is_refused() -> None:
    with pytest.raises(HydraulicsError, match="the same time"):
        found(b"time [s];pressure [bar]\n" + b"5;200\n" * 50)


def test_words_in_place_of_pressures_are_refused_and_a_few_lost_readings_are_not() -> None:
    lines = some_file().splitlines()
    lost = [b"0;--" if n and n % 1000 == 0 else line for n, line in enumerate(lines)]
    lost[1000:2001:1000] = [lines[n].split(b";")[0] + b";--" for n in (1000, 2000)]
    lost[3000::1000] = [lines[n].split(b";")[0] + b";" for n in range(3000, len(lines), 1000)]
    answer = found(b"\n".join(lost))
    assert answer.analysis.missing == len(range(1000, len(lines), 1000))
    words = [line + b";flow" if n < 1 else line.split(b";")[0] + b";valve;3" for n, line in enumerate(lines)]
    with pytest.raises(HydraulicsError, match="Column 2 should be the pressure and reads “valve”"):
        found(b"\n".join(words))
    wrong = [
        line if n < 4300 else line.split(b";")[0] + b";valve" for n, line in enumerate([*lines, *lines[1:], *lines[1:]])
    ]
    with pytest.raises(HydraulicsError, match=r"Row \d+ of the data reads “valve”"):
        found(b"\n".join(wrong))


def test_a_trace_that_is_mostly_missing_is_refused() -> None:
    lines = some_file().splitlines()
    holes = [line if n % 3 else line.split(b";")[0] + b";" for n, line in enumerate(lines)]
    holes[0] = lines[0]
    with pytest.raises(HydraulicsError, match="no legible pressure"):
        found(b"\n".join(holes))


def test_a_pressure_that_no_rig_reaches_is_refused_by_its_unit() -> None:
    with pytest.raises(HydraulicsError) as refused:
        found(some_file().replace(b"[bar]", b"[MPa]").replace(b";3", b";93"))
    assert (refused.value.code, refused.value.field) == ("trace-absurd", "pressure_unit")


def test_a_trace_without_any_pressure_is_refused() -> None:
    with pytest.raises(HydraulicsError, match="stays under 5 bar"):
        analysed(Bench(rate_hz=100, level=1.0).rest(20))


@pytest.mark.parametrize("noise", [0.01, 0.001, 0.0])
def test_a_sensor_at_its_end_is_refused(noise: float) -> None:
    times, pressures = strokes(Bench()).made(noise)
    with pytest.raises(HydraulicsError, match="The sensor stands at its end, 285 bar"):
        analyse(Trace(times, np.minimum(pressures, 285.0), None, len(times), 0))


def test_a_hold_in_whole_counts_of_the_logger_is_not_taken_for_a_sensor_at_its_end() -> None:
    times, pressures = Bench(rate_hz=500).rest(1).pump(300, 3).hold(60, 2).relieve().made(0.0001)
    assert len(analyse(Trace(times, np.round(pressures), None, len(times), 0)).holds) == 1


def test_spikes_are_left_out_and_counted() -> None:
    clean = analysed(strokes(Bench(seed=3)))
    times, pressures = strokes(Bench(seed=3)).made(0.002)
    chance = np.random.default_rng(5)
    places = np.sort(chance.choice(np.arange(100, len(times) - 700, 50), 200, replace=False))
    pressures[places] += chance.choice([-1, 1], 200) * 150.0
    spiked = analyse(Trace(times, pressures, None, len(times), 0))
    assert spiked.trace.spikes >= 190
    assert [one.opening_bar for one in spiked.openings] == pytest.approx(
        [one.opening_bar for one in clean.openings], rel=0.002
    )
    assert spiked.holds[0].rate_bar_per_min == pytest.approx(40, rel=0.02)
    assert any("spikes" in one for one in spiked.remarks)


def test_drop_outs_to_zero_are_neither_openings_nor_ends_of_a_hold() -> None:
    times, pressures = strokes(Bench(seed=4)).made(0.002)
    for start, length in ((10_000, 40), (20_000, 400), (35_500, 15)):
        pressures[start : start + length] = 0.0
    answer = analyse(Trace(times, pressures, None, len(times), 0))
    assert answer.trace.drop_outs == 455
    assert (len(answer.openings), len(answer.holds)) == (4, 1)
    assert answer.holds[0].rate_bar_per_min == pytest.approx(40, rel=0.02)


def test_no_event_reaches_across_a_gap_in_time() -> None:
    times, pressures = Bench(rate_hz=200).rest(1).pump(250, 3).hold(20, 30).made(0.002)
    answer = analyse(Trace(np.where(times > 14, times + 100, times), pressures, None, len(times), 0))
    assert len(answer.trace.gaps) == 1
    assert [round(one.end_s - one.start_s) for one in answer.holds] == [10, 10]
    assert all(one.rate_bar_per_min == pytest.approx(30, rel=0.02) for one in answer.holds)


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ({"rate_hz": "fast"}, "rate_hz"),
        ({"rate_hz": "0"}, "rate_hz"),
        ({"delimiter": "star"}, "delimiter"),
        ({"decimal": "middle"}, "decimal"),
        ({"pressure_unit": "furlong"}, "pressure_unit"),
        ({"volume_cm3": "50"}, "bulk_modulus_gpa"),
        ({"bulk_modulus_gpa": "1.5"}, "volume_cm3"),
        ({"volume_cm3": "50", "bulk_modulus_gpa": "1500"}, "bulk_modulus_gpa"),
        ({"volume_cm3": "-1", "bulk_modulus_gpa": "1.5"}, "volume_cm3"),
        ({"bar_per_kelvin": "500"}, "bar_per_kelvin"),
        ({"lower_bar": "300", "upper_bar": "290"}, "upper_bar"),
        ({"spread_max_bar": "-1"}, "spread_max_bar"),
        ({"least_openings": "0"}, "least_openings"),
        ({"least_openings": "three"}, "least_openings"),
        ({"lower_bar": "300 mm"}, "lower_bar"),
    ],
)
def test_what_is_asked_wrongly_is_refused_by_its_field(asked: dict[str, str], field: str) -> None:
    with pytest.raises(ValueError, match=r"\.$") as refused:
        found(some_file(), **asked)
    assert getattr(refused.value, "field", None) == field


def test_a_rig_without_volume_gives_no_leak() -> None:
    assert Rig().leak(10.0) is None
