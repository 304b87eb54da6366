"""The picture of what was recorded in a hole whose pins contradict each other."""

from decimal import Decimal as D
from xml.etree import ElementTree

import pytest

from service.documents.pin_row import pin_row
from service.metrology.gauge_pins import CalibratedPin
from service.metrology.hole_brackets import CalibratedPass, as_recorded
from service.workshop.examination.pins_tried import HoleRecorded


def drawn(*answers: bool) -> ElementTree.Element:
    """Pins from 0.84 mm in steps of 0.01 mm, with what each was recorded to do."""
    sizes = [D("0.84") + D(place) / 100 for place in range(len(answers))]
    passes = [
        CalibratedPass(CalibratedPin("P", size, size, D("0.001")), enters)
        for size, enters in zip(sizes, answers, strict=True)
    ]
    return ElementTree.fromstring(pin_row(HoleRecorded(2, as_recorded(passes)), "pins-of-hole-2"))


def of_kind(tree: ElementTree.Element, kind: str) -> list[ElementTree.Element]:
    return [one for one in tree.iter() if one.tag.rpartition("}")[2] == kind]


def test_each_pin_says_its_size_and_its_answer_in_words_from_the_smallest_up() -> None:
    words = [one.text for one in of_kind(drawn(True, False, True, False), "text")]
    assert [word for word in words if word != "contradicts"] == [
        *("0.84 mm", "enters"),
        *("0.85 mm", "does not"),
        *("0.86 mm", "enters"),
        *("0.87 mm", "does not"),
    ]


def test_a_pin_that_enters_reaches_under_the_surface_and_is_filled_one_that_does_not_stands_on_it() -> None:
    pins = [one for one in of_kind(drawn(True, False), "rect") if one.get("width") == "22"]
    surface = {
        float(one.get("y1", "")) for one in of_kind(drawn(True, False), "line") if one.get("y1") == one.get("y2")
    }
    (level,) = surface
    entering, refused = pins
    assert float(entering.get("y", "")) + float(entering.get("height", "")) > level
    assert float(refused.get("y", "")) + float(refused.get("height", "")) == level
    assert (entering.get("fill"), refused.get("fill")) == ("currentColor", "none")


@pytest.mark.parametrize(
    ("answers", "marked"),
    [((True, False, True, False), 2), ((False, True), 2), ((True, True, False), 0), ((False, False, True), 3)],
)
def test_only_the_passes_that_cannot_be_true_together_are_framed_and_named(
    answers: tuple[bool, ...], marked: int
) -> None:
    tree = drawn(*answers)
    assert [one.text for one in of_kind(tree, "text")].count("contradicts") == marked
    assert len([one for one in of_kind(tree, "rect") if one.get("stroke-width") == "4"]) == marked
    description = of_kind(tree, "desc")[0].text or ""
    assert description.count("contradicts") == marked


def test_nothing_in_it_is_told_by_colour() -> None:
    tree = drawn(True, False, True)
    colours = {one.get(name) for one in tree.iter() for name in ("fill", "stroke")}
    assert colours <= {None, "none", "currentColor"}
