"""Entries as JSON and back, digit for digit."""

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.records.column_types import instant_text
from service.records.json_text import canonical, content_from_json, content_to_json
from service.workshop.entries import Content, DiscsChanged, Torqued
from service.workshop.measurements import OvalityMeasurement, SizeMeasurement
from tests.small_sheet import INSTRUMENTS
from tests.workshop.every_entry import EVERY_ENTRY

PLACES = st.decimals(allow_nan=False, allow_infinity=False, min_value=-10_000, max_value=10_000, places=6)
DIGITS = st.one_of(PLACES, st.sampled_from([Decimal("0.10"), Decimal("0.850"), Decimal("1E+2"), Decimal("0E-8")]))


def digits(value: object) -> object:
    """A value with its Decimals as they are written, since 0.10 equals 0.1."""
    if isinstance(value, Decimal):
        return str(value)
    if isinstance(value, tuple):
        return tuple(digits(one) for one in value)
    if hasattr(value, "__dataclass_fields__"):
        return {name: digits(getattr(value, name)) for name in value.__dataclass_fields__}
    return value


@pytest.mark.parametrize("content", EVERY_ENTRY, ids=lambda content: content.kind)
def test_every_kind_of_entry_comes_back_as_it_was(content: Content) -> None:
    back = content_from_json(content_to_json(content))
    assert back == content
    assert type(back) is type(content)
    assert digits(back) == digits(content)
    assert content_to_json(back) == content_to_json(content)


@given(st.lists(DIGITS, min_size=1, max_size=4).map(tuple))
def test_decimals_keep_their_digits(values: tuple[Decimal, ...]) -> None:
    torqued = next(one for one in EVERY_ENTRY if isinstance(one, Torqued))
    changed = DiscsChanged(added=values, removed=(), reason="Ölig „und“ \u2028 kühl.")
    for content in (changed, replace(torqued, value=values[0])):
        assert digits(content_from_json(content_to_json(content))) == digits(content)


@given(st.lists(st.lists(DIGITS, min_size=2, max_size=3).map(tuple), min_size=1, max_size=3).map(tuple))
def test_measurements_of_two_kinds_are_not_mixed_up(diameters: tuple[tuple[Decimal, ...], ...]) -> None:
    examined = next(one for one in EVERY_ENTRY if one.kind == "examined")
    for measurement in (
        OvalityMeasurement(diameters=diameters, instrument=INSTRUMENTS["BORE-1"]),
        SizeMeasurement(readings=diameters[0], instrument=INSTRUMENTS["MIC-1"]),
    ):
        content = replace(examined, measurement=measurement)  # type: ignore[type-var]
        assert content_from_json(content_to_json(content)) == content  # type: ignore[arg-type]


def test_one_value_has_one_text() -> None:
    assert canonical({"b": 1, "a": [True, None, "ä"]}) == '{"a":[true,null,"ä"],"b":1}'
    assert json.loads(content_to_json(EVERY_ENTRY[0]))["remark"] == "Ölig, 80 °C."


def test_a_stored_number_is_never_a_binary_float() -> None:
    for content in EVERY_ENTRY:
        assert not any(isinstance(leaf, float) for leaf in _leaves(json.loads(content_to_json(content))))


def _leaves(value: object) -> list[object]:
    if isinstance(value, dict):
        return [leaf for one in value.values() for leaf in _leaves(one)]
    if isinstance(value, list):
        return [leaf for one in value for leaf in _leaves(one)]
    return [value]


def test_a_moment_has_one_text_whatever_its_zone() -> None:
    utc = datetime(2026, 1, 31, 8, 5, tzinfo=UTC)
    east = utc.astimezone(timezone(timedelta(hours=5, minutes=30)))
    assert instant_text(utc) == instant_text(east) == "2026-01-31T08:05:00.000000Z"


@given(st.datetimes(timezones=st.just(UTC)), st.datetimes(timezones=st.just(UTC)))
def test_moments_sort_as_text(one: datetime, other: datetime) -> None:
    assert (instant_text(one) < instant_text(other)) is (one < other)
