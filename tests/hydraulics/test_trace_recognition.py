"""A logger's file is recognised, and what it leaves open is asked in words."""

import pytest

from service.hydraulics.errors import HydraulicsError
from service.hydraulics.trace.columns import TimeBase
from service.hydraulics.trace.reading import Trace, read_trace
from service.hydraulics.trace.recognition import Given, Recognition, recognise

ROWS = 60


def file_of(header: str, row: str, rows: int = ROWS) -> bytes:
    """A file of that many rows; `{n}` counts them, `{t}` is a hundredth of a second more in each, `{p}` a pressure."""
    lines = [
        row.format(n=n, t=f"{n / 100:.2f}", tc=f"{n / 100:.2f}".replace(".", ","), p=f"{200 + n:.1f}",
                   pc=f"{200 + n:.1f}".replace(".", ","), s=f"{n // 60:02d}:{n % 60:02d}")
        for n in range(rows)
    ]  # fmt: skip
    return "\n".join([*([header] if header else []), *lines, ""]).encode()


def both(data: bytes, **given: object) -> tuple[Recognition, Trace]:
    """What is recognised, and the trace read by it."""
    recognised = recognise(data, Given(**given))  # type: ignore[arg-type]
    return recognised, read_trace(data, recognised)


@pytest.mark.parametrize(
    ("header", "row", "delimiter", "decimal"),
    [
        ("time [s];pressure [bar]", "{tc};{pc}", ";", ","),
        ("time [s];pressure [bar]", "{t};{p}", ";", "."),
        ("time (s),pressure (bar)", "{t},{p}", ",", "."),
        ("t/s\tp/bar", "{tc}\t{pc}", "\t", ","),
        ("Time s|Pressure bar", "{t}|{p}", "|", "."),
        ('"Time [s]","Pressure [bar]"', '"{tc}","{pc}"', ",", ","),
        ("time_s pressure_bar", "{t}   {p}", " ", "."),
        ("", "{t};{p}", ";", "."),
    ],
)
def test_the_delimiter_and_the_decimal_sign_are_recognised(header: str, row: str, delimiter: str, decimal: str) -> None:
    recognised, trace = both(file_of(header, row), pressure_unit=None if header else "bar")
    assert (recognised.layout.delimiter, recognised.layout.decimal) == (delimiter, decimal)
    assert (trace.rows, trace.missing) == (ROWS, 0)
    assert trace.t_s.tolist() == [n / 100 for n in range(ROWS)]
    assert trace.pressure_bar.tolist() == [200.0 + n for n in range(ROWS)]


@pytest.mark.parametrize(
    ("unit", "bar"),
    [("bar", 1.0), ("MPa", 10.0), ("kgf/cm2", 0.980665), ("psi", 0.0689475729), ("kPa", 0.01), ("mbar", 0.001)],
)
def test_the_unit_in_the_header_turns_the_pressure_into_bar(unit: str, bar: float) -> None:
    _, trace = both(file_of(f"time [s];pressure [{unit}]", "{t};{p}"))
    assert trace.pressure_bar[0] == pytest.approx(200 * bar, rel=1e-9)


def test_a_unit_that_the_header_does_not_name_is_asked_and_taken() -> None:
    data = file_of("time;pressure", "{t};{p}")
    with pytest.raises(HydraulicsError) as refused:
        recognise(data)
    assert (refused.value.code, refused.value.field) == ("trace-unit-asked", "pressure_unit")
    assert both(data, pressure_unit="MPa")[1].pressure_bar[0] == 2000


@pytest.mark.parametrize(
    ("column", "row", "seconds"),
    [
        ("time [s]", "{t}", 0.01),
        ("time [ms]", "{n}", 0.001),
        ("elapsed [min]", "{n}", 60.0),
        ("timestamp", "2026-03-04T23:{s}.000", 1.0),
        ("timestamp", "2026-03-04 23:{s},000+01:00", 1.0),
        ("date", "04.03.2026 23:{s}", 1.0),
        ("clock", "11:{s} PM", 1.0),
    ],
)
def test_the_time_is_read_from_seconds_and_from_clocks(column: str, row: str, seconds: float) -> None:
    _, trace = both(file_of(f"{column};pressure [bar]", row + ";{p}"))
    assert trace.t_s[-1] - trace.t_s[0] == pytest.approx((ROWS - 1) * seconds)


def test_a_clock_passes_midnight() -> None:
    def rows(day: str, next_day: str) -> bytes:
        times = [f"{day}23:59:{40 + n}" for n in range(20)] + [f"{next_day}00:00:{n:02d}" for n in range(20)]
        return ("time;pressure [bar]\n" + "\n".join(f"{t};{200 + n}" for n, t in enumerate(times))).encode()

    for days in (("", ""), ("31/12/2025 ", "01/01/2026 "), ("2025-12-31 ", "2026-01-01 ")):
        trace = both(rows(*days))[1]
        assert trace.t_s.tolist() == list(range(40)), days


def test_milliseconds_since_1970_are_shown_from_the_first_row() -> None:
    data = file_of("timestamp;pressure [bar]", "17721000{n:05d};{p}")
    recognised, trace = both(data)
    assert "milliseconds" in dict(recognised.facts)["Time"]
    assert trace.t_s[-1] == pytest.approx((ROWS - 1) / 1000)


def test_a_file_without_time_takes_the_rate_above_its_rows_or_asks_for_it() -> None:
    column = file_of("pressure [bar]", "{pc}")
    with pytest.raises(HydraulicsError) as refused:
        recognise(column)
    assert refused.value.field == "rate_hz"
    assert both(column, rate_hz=50.0)[1].t_s[1] == pytest.approx(0.02)
    recognised, trace = both(b"Bench 2\nSample rate: 2 kHz\n" + column)
    assert (recognised.time.base, recognised.time.rate_hz, trace.t_s[1]) == (TimeBase.RATE, 2000.0, 0.0005)
    assert both(b"Sampling interval 0,5 ms\n" + column)[1].t_s[1] == 0.0005


def test_a_row_of_units_and_other_columns_are_understood() -> None:
    header = "Logger 7\nOperator;bench\nNo;Time;State;Line pressure;Oil\n;ms;;MPa;°C"
    recognised, trace = both(file_of(header, "{n};{n};OK;{pc};21,5"))
    assert (recognised.layout.first_line, recognised.pressure, recognised.unit) == (5, 3, "MPa")
    assert recognised.temperature == 4
    assert (trace.t_s[1], trace.pressure_bar[0]) == (0.001, 2000)
    assert trace.temperature_c is not None
    assert trace.temperature_c[0] == 21.5


def test_what_was_recognised_is_told_in_words() -> None:
    facts = dict(recognise(file_of("time [s];pressure [bar]", "{tc};{pc}")).facts)
    assert facts["Between the values"] == "semicolon, 2 columns"
    assert facts["Decimal sign"] == "comma"
    assert facts["First row"] == "line 2, under a header"
    assert facts["Time"] == "column 1 “time [s]”, seconds"
    assert facts["Pressure"] == "column 2 “pressure [bar]”, bar (gauge)"
    assert "assumed" in dict(recognise(file_of("time;pressure [bar]", "{tc};{pc}")).facts)["Time"]


def test_columns_are_chosen_by_name_or_number_where_two_could_be_the_pressure() -> None:
    data = file_of("time [s];pump [bar];nozzle [bar]", "{t};1;{p}")
    with pytest.raises(HydraulicsError) as refused:
        recognise(data)
    assert refused.value.code == "trace-no-pressure"
    assert "nozzle" in refused.value.sentence
    for asked in ("nozzle", "nozzle [bar]", "3"):
        assert both(data, pressure_column=asked)[1].pressure_bar[0] == 200
    with pytest.raises(HydraulicsError, match="no column “valve”"):
        recognise(data, Given(pressure_column="valve"))


def test_windows_line_ends_a_byte_order_mark_and_a_latin_code_page_are_read() -> None:
    data = file_of("time [s];pressure [bar];oil [°C]", "{tc};{pc};20").replace(b"\n", b"\r\n")
    for told in (b"\xef\xbb\xbf" + data, data.decode().encode("cp1252")):
        recognised, trace = both(told)
        assert (recognised.temperature, trace.rows, trace.missing) == (2, ROWS, 0)


def test_numbers_with_exponents_and_words_for_no_reading_are_understood() -> None:
    data = file_of("time [s];pressure [bar]", "{t};2.5E+02").replace(b"\n0.10;2.5E+02", b"\n0.10;---")
    _, trace = both(data)
    assert trace.missing == 1
    assert set(trace.pressure_bar.tolist()) == {250.0}


def test_rows_that_share_a_second_are_spread_over_it() -> None:
    data = file_of("time [s];pressure [bar]", "{n};{p}").decode()
    lines = data.splitlines()
    shared = "\n".join([lines[0], *(f"{n // 10};{line.split(';')[1]}" for n, line in enumerate(lines[1:]))]).encode()
    _, trace = both(shared)
    assert trace.times_shared == 54
    assert trace.t_s.tolist() == pytest.approx([n / 10 for n in range(ROWS)])
