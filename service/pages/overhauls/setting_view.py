"""The proposal for an opening pressure that is off: discs, expected pressure, slope and why, what else is known."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from urllib.parse import urlencode

from fastapi import Request

from service.hydraulics.disc_search import DiscSet
from service.hydraulics.disc_stock import discs_in_words
from service.metrology.typed_numbers import plain
from service.pages.choices import Option
from service.pages.overhauls.small_forms import Fact
from service.pages.rendering import FormState
from service.workshop.pressure_setting import PressureSetting
from service.workshop.shown_pressure import about, between, is_bar
from service.workshop.test_plan import TestPlan

_NO_SLOPE = (
    "No discs are proposed: the limit sheet gives no spring rate and diameters, and fewer than five own adjustments "
    "are recorded on this type."
)


@dataclass(frozen=True)
class Drawer:
    """Which discs of the sheet the technician says are there, as typed; None: nothing was said, so all are."""

    there: tuple[str, ...] | None
    chosen: int

    def absent_mm(self, plan: TestPlan) -> tuple[Decimal, ...]:
        """Those of the sheet that have run out."""
        return tuple(disc for disc in plan.discs_mm if self.there is not None and plain(disc) not in self.there)

    @property
    def query(self) -> dict[str, str | list[str]]:
        """The same said again in an address."""
        return {} if self.there is None else {"drawer": "seen", "there": list(self.there)}


@dataclass(frozen=True)
class SetRow:
    """One set of discs; `href` fills the form with it. `on_dial` is the expected pressure there, '' for bar."""

    change: str
    expected: str
    on_dial: str
    href: str


@dataclass(frozen=True)
class SettingCard:
    """The whole proposal. `kept` are the thicknesses of the sheet, to say which of them are in the drawer."""

    facts: tuple[Fact, ...]
    mark: str
    advice: str
    sets: tuple[SetRow, ...]
    why: str
    address: str
    kept: tuple[Option, ...]
    drawer: FormState


def drawer_of(request: Request) -> Drawer:
    """What the address says of the drawer, and which set is to fill the form (0: none)."""
    query = request.query_params
    there = tuple(query.getlist("there")) if "drawer" in query else None
    number = query.get("set", "")
    return Drawer(there, int(number) if number.isascii() and number.isdigit() and len(number) < 5 else 0)


def setting_card(setting: PressureSetting | None, plan: TestPlan, drawer: Drawer, place: str) -> SettingCard | None:
    """The proposal as it is shown on the page at `place` (`/overhauls/N/rebuild` or `…/proving`)."""
    if setting is None:
        return None
    kept = tuple(Option(plain(disc), f"{plain(disc)} mm") for disc in plan.discs_mm)
    there = [one.value for one in kept] if drawer.there is None else list(drawer.there)
    fills = f"{place.rpartition('/')[0]}/rebuild"
    return SettingCard(
        facts=tuple(_facts(setting, plan)),
        mark="info" if setting.sets else "caution",
        advice=_NO_SLOPE if setting.advice is None else setting.advice.sentence,
        sets=tuple(_row(setting, one, number, drawer, fills) for number, one in enumerate(setting.sets, 1)),
        why="" if setting.slope is None else setting.slope.why,
        address=place,
        kept=kept,
        drawer=FormState({"there": there}),
    )


def chosen_discs(setting: PressureSetting | None, drawer: Drawer) -> dict[str, str | list[str]]:
    """What the chosen set puts into the form that records a change of discs; nothing where none was chosen."""
    if setting is None or not 0 < drawer.chosen <= len(setting.sets):
        return {}
    one = setting.sets[drawer.chosen - 1]
    now, then = _bar(setting.off.mean_bar), _bar(one.expected_bar)
    return {
        "added": [_mm(um) for um in one.added_um],
        "removed": [_mm(um) for um in one.removed_um],
        "reason": f"Opening pressure {now}, {then} expected.",
    }


def _row(setting: PressureSetting, one: DiscSet, number: int, drawer: Drawer, fills: str) -> SetRow:
    asked = urlencode(drawer.query | {"set": str(number)}, doseq=True)
    on_dial = _on_dial(one.expected_bar, setting.off.shown_unit)
    return SetRow(_change(one), _expected(setting, one), on_dial, f"{fills}?{asked}#discs")


def _change(one: DiscSet) -> str:
    put_in, take_out = (discs_in_words(discs) for discs in (one.added_um, one.removed_um))
    if not one.removed_um:
        return f"Put in {put_in}" if one.added_um else "Leave the discs as they are"
    return f"Put in {put_in}, take out {take_out}" if one.added_um else f"Take out {take_out}"


def _expected(setting: PressureSetting, one: DiscSet) -> str:
    slope = setting.slope
    if slope is None or slope.lower_bar_per_mm is None or slope.upper_bar_per_mm is None:
        return _bar(one.expected_bar)
    change = Decimal(one.change_um) / 1000
    ends = sorted(setting.off.mean_bar + change * end for end in (slope.lower_bar_per_mm, slope.upper_bar_per_mm))
    return f"{_bar(one.expected_bar)}, {_tenths(ends[0])} to {_bar(ends[1])} by the scatter"


def _facts(setting: PressureSetting, plan: TestPlan) -> Iterator[Fact]:
    band, unit = setting.band, setting.off.shown_unit
    yield Fact("Opening pressure now", _bar(setting.off.mean_bar), _on_dial(setting.off.mean_bar, unit))
    guarded = f", {_tenths(setting.guard_bar)} bar inside the limits so that it is proven" if setting.guard_bar else ""
    reach = "" if is_bar(unit) else between(band.lower_bar, band.upper_bar, unit)
    yield Fact("To reach", f"{_tenths(band.lower_bar)} to {_bar(band.upper_bar)}{guarded}", reach)
    if setting.slope is not None:
        source = "geometry" if setting.slope.source == "geometry" else "own adjustments"
        yield Fact("A disc changes", f"{_tenths(setting.slope.bar_per_mm)} bar for each mm ({source})")
    yield Fact("Discs added so far", discs_in_words(setting.fitted_um))
    if setting.closing_bar is not None:
        closing = _on_dial(setting.closing_bar, unit)
        yield Fact("Closing pressure by the geometry", _bar(setting.closing_bar), closing)
    if setting.spring is not None:
        yield Fact("Set of the spring", _spring_in_words(setting, plan))


def _spring_in_words(setting: PressureSetting, plan: TestPlan) -> str:
    spring = setting.spring
    against = f"against one that gives {_bar(plan.opening_set_bar)} without added discs"
    if spring is None or spring.lost_n <= 0:
        return f"none, {against}"
    hundredths = plain(spring.set_mm.quantize(Decimal("0.01")))
    share = plain(spring.lost_percent.quantize(Decimal("0.1")))
    return f"{plain(spring.lost_n.quantize(Decimal(1)))} N lost ({share} %), {hundredths} mm {against}"


def _bar(value: Decimal) -> str:
    return f"{_tenths(value)} bar"


def _on_dial(bar: Decimal, unit: str) -> str:
    return "" if is_bar(unit) else about(bar, unit=unit)


def _tenths(value: Decimal) -> str:
    return plain(value.quantize(Decimal("0.1")))


def _mm(um: int) -> str:
    return plain(Decimal(um) / 1000)
