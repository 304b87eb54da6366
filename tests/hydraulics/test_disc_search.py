"""The fewest discs into the band, held against a search that tries every set there is."""

from collections import Counter
from collections.abc import Iterator
from decimal import Decimal as D
from fractions import Fraction
from itertools import combinations, combinations_with_replacement

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.hydraulics.disc_advice import advise
from service.hydraulics.disc_search import DiscTask, PressureBand, disc_task, fewest_discs
from service.hydraulics.disc_stock import StockedDisc
from service.hydraulics.errors import HydraulicsError

Sets = set[tuple[tuple[int, ...], tuple[int, ...]]]

stocks = st.lists(
    st.builds(StockedDisc, st.integers(1, 12).map(lambda step: 25 * step), st.none() | st.integers(1, 3)), max_size=5
)


@st.composite
def tasks(draw: st.DrawFn) -> DiscTask:
    """A small question: few enough sets that all of them can be tried."""
    now = draw(st.decimals(D(250), D(450), places=1))
    target = draw(st.decimals(D(300), D(400), places=1))
    low, high = (draw(st.decimals(D(0), D(12), places=1)) for _ in range(2))
    slope = draw(st.decimals(D(20), D(400), places=2))
    fitted = draw(st.lists(st.sampled_from((25, 50, 100, 130)), max_size=3))
    return disc_task(
        now, PressureBand(target - low, target, target + high), slope, draw(stocks), fitted, draw(st.integers(0, 4))
    )


def every_set(task: DiscTask) -> Iterator[tuple[int, tuple[int, ...], tuple[int, ...]]]:
    """Each set that is in stock, is allowed and ends in the band, with how many discs are touched. Tried one by one."""
    counts = {disc.thickness_um: disc.count for disc in task.stock}
    removals = {
        tuple(sorted(out, reverse=True))
        for size in range(len(task.fitted_um) + 1)
        for out in combinations(task.fitted_um, size)
    }
    for removed in removals:
        for size in range(task.most - len(task.fitted_um) + len(removed) + 1):
            for added in combinations_with_replacement(sorted(counts, reverse=True), size):
                wanted = Counter(added)
                if any((most := counts[um]) is not None and wanted[um] > most for um in wanted):
                    continue
                change = Fraction(sum(added) - sum(removed), 1000)
                reached = Fraction(task.now_bar) + Fraction(task.bar_per_mm) * change
                if Fraction(task.band.lower_bar) <= reached <= Fraction(task.band.upper_bar):
                    yield len(added) + len(removed), added, removed


@given(tasks())
def test_the_search_finds_every_set_with_the_fewest_discs_and_no_other(task: DiscTask) -> None:
    tried = list(every_set(task))
    fewest = min((touched for touched, _, _ in tried), default=-1)
    wanted: Sets = {(added, removed) for touched, added, removed in tried if touched == fewest}
    found = fewest_discs(task)
    assert {(one.added_um, one.removed_um) for one in found} == wanted
    assert len(found) == len(wanted)


@given(tasks())
def test_a_set_never_exceeds_what_is_allowed_and_says_the_pressure_to_expect(task: DiscTask) -> None:
    for one in fewest_discs(task):
        assert len(task.fitted_um) - len(one.removed_um) + len(one.added_um) <= task.most
        assert one.expected_bar == task.now_bar + task.bar_per_mm * one.change_um / 1000
        assert not Counter(one.removed_um) - Counter(task.fitted_um)


@given(tasks())
def test_the_advice_names_a_way_out_whenever_no_set_can(task: DiscTask) -> None:
    found = fewest_discs(task)
    advice = advise(task, found)
    assert (advice.kind in ("leave", "change-discs")) == bool(found)
    if not found and advice.kind != "no-such-disc":
        assert advice.sentence.endswith("replace the spring.")
    if advice.kind == "replace-spring":
        thick = [StockedDisc(max(disc.thickness_um for disc in task.stock))] if task.stock else []
        # Not even with as many of the thickest as are allowed.
        assert not list(
            every_set(DiscTask(task.now_bar, task.band, task.bar_per_mm, tuple(thick), task.fitted_um, task.most))
        )


def _task(now: str, stock: tuple[int, ...], fitted: tuple[int, ...] = (), most: int = 5, off: str = "5") -> DiscTask:
    band = PressureBand(350 - D(off), D(350), 350 + D(off))
    return disc_task(D(now), band, D(100), [StockedDisc(um) for um in stock], fitted, most)


def test_one_disc_is_preferred_to_two() -> None:
    (found,) = fewest_discs(_task("330", (50, 100, 150, 200)))[:1]
    assert (found.added_um, found.expected_bar) == ((200,), D(350))


def test_of_two_ties_the_nearer_to_the_pressure_aimed_at_comes_first() -> None:
    assert [one.added_um for one in fewest_discs(_task("330", (180, 190, 240)))] == [(190,), (180,), (240,)]


def test_a_disc_comes_out_when_the_pressure_is_too_high() -> None:
    found = fewest_discs(_task("370", (50, 100), (200, 50)))
    assert [(one.added_um, one.removed_um) for one in found] == [((), (200,))]


def test_a_full_injector_gets_a_thicker_disc_for_a_thin_one() -> None:
    found = fewest_discs(_task("330", (50, 250), (50, 50, 50, 50, 50), off="1"))
    assert [(one.added_um, one.removed_um) for one in found] == [((250,), (50,))]


def test_a_pressure_in_its_band_is_left_alone() -> None:
    task = _task("353", (50,))
    found = fewest_discs(task)
    assert [(one.added_um, one.removed_um, one.expected_bar) for one in found] == [((), (), D(353))]
    assert advise(task, found).kind == "leave"


@pytest.mark.parametrize(
    ("now", "stock", "fitted", "off", "kind", "words"),
    [
        ("200", (50, 100), (), "5", "replace-spring", "of the thickest in stock, would bring it only to 250 bar"),
        ("340", (), (), "5", "no-such-disc", "No disc is in stock. Discs of 0.05 to 0.15 mm altogether would"),
        ("380", (50,), (), "5", "too-high", "no added disc is there to take out"),
        ("380", (50,), (50,), "5", "too-high", "It stays at 375 bar with every added disc taken out"),
        ("345", (200,), (), "2", "no-such-disc", "Discs of 0.03 to 0.07 mm altogether would bring it there"),
        ("349.999", (200,), (), "0.0001", "no-such-disc", "narrower than a thousandth of a millimetre"),
    ],
)
def test_where_no_set_can_the_sentence_says_what_else(
    now: str, stock: tuple[int, ...], fitted: tuple[int, ...], off: str, kind: str, words: str
) -> None:
    task = _task(now, stock, fitted, off=off)
    advice = advise(task, fewest_discs(task))
    assert advice.kind == kind
    assert words in advice.sentence


@pytest.mark.parametrize(
    ("change", "code", "field"),
    [
        ({"now_bar": D(0)}, "pressure-not-positive", "now"),
        ({"now_bar": D("NaN")}, "pressure-not-positive", "now"),
        ({"band": PressureBand(D(360), D(350), D(370))}, "limits-crossed", "tolerance"),
        ({"bar_per_mm": D(0)}, "slope-not-positive", "bar_per_mm"),
        ({"bar_per_mm": D(-1)}, "slope-not-positive", "bar_per_mm"),
        ({"stock": [StockedDisc(0)]}, "disc-thickness", "stock"),
        ({"stock": [StockedDisc(um) for um in range(1, 60)]}, "stock-too-long", "stock"),
        ({"fitted_um": (50,) * 13}, "too-many-fitted", "fitted"),
        ({"fitted_um": (-50,)}, "disc-thickness", "fitted"),
        ({"most": -1}, "disc-count-negative", "max"),
        ({"most": 21}, "disc-count-negative", "max"),
    ],
)
def test_a_question_without_sense_is_refused_by_its_field(change: dict[str, object], code: str, field: str) -> None:
    asked: dict[str, object] = {
        "now_bar": D(320),
        "band": PressureBand(D(345), D(350), D(355)),
        "bar_per_mm": D(100),
        "stock": [StockedDisc(50)],
    }
    with pytest.raises(HydraulicsError) as refusal:
        disc_task(**(asked | change))  # type: ignore[arg-type]
    assert (refusal.value.code, refusal.value.field) == (code, field)


def test_more_ties_than_anybody_reads_are_refused() -> None:
    stock = [StockedDisc(um) for um in range(361, 401)]
    band = PressureBand(D("350"), D("351"), D("352"))
    task = disc_task(D(50), band, D(100), stock, most=8)
    with pytest.raises(HydraulicsError, match="narrow the tolerance"):
        fewest_discs(task)
