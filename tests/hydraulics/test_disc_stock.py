"""A stock of discs as it is typed."""

import pytest

from service.hydraulics.disc_stock import StockedDisc, discs_in_words, parse_discs, parse_stock
from service.metrology.errors import DomainError


@pytest.mark.parametrize(
    ("typed", "stock"),
    [
        ("0.05,0.10", (StockedDisc(50), StockedDisc(100))),
        ("0.10 , 0.05x3", (StockedDisc(50, 3), StockedDisc(100))),
        ("0,05; 0,10×2", (StockedDisc(50), StockedDisc(100, 2))),
        ("0.05x1, 0.05x2", (StockedDisc(50, 3),)),
        ("0.05x1, 0.05", (StockedDisc(50),)),
        ("0.10, 0.10", (StockedDisc(100),)),
        ("0.05x0, 0.025", (StockedDisc(25),)),
        ("", ()),
    ],
)
def test_thicknesses_are_read_with_the_pieces_that_are_counted(typed: str, stock: tuple[StockedDisc, ...]) -> None:
    assert parse_stock(typed) == stock


def test_discs_that_are_in_are_read_one_by_one() -> None:
    assert parse_discs("0.10, 0.10, 0.05x2", "fitted") == (100, 100, 50, 50)


@pytest.mark.parametrize("typed", ["0", "-0.05", "0.0005", "11", "abc", "0.05x", "0.05,x2", "0.05 0.10", "1e-9"])
def test_what_is_no_disc_is_refused_with_its_field(typed: str) -> None:
    with pytest.raises(DomainError) as refusal:
        parse_stock(typed, "stock")
    assert refusal.value.field == "stock"


@pytest.mark.parametrize(
    ("discs", "words"),
    [
        ((), "no disc"),
        ((50,), "0.05 mm"),
        ((50, 100, 100), "2 × 0.1 mm and 0.05 mm"),
        ((1, 2, 3), "0.003 mm, 0.002 mm and 0.001 mm"),
    ],
)
def test_discs_are_told_the_thickest_first(discs: tuple[int, ...], words: str) -> None:
    assert discs_in_words(discs) == words
