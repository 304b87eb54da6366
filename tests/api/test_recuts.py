"""The metal of a seat over JSON."""

import pytest

from service.actions.shop import Shop
from tests.api.callers import Person
from tests.pages.at_the_bench import received
from tests.pages.recutting import recut
from tests.registered_fleet import Fleet

pytestmark = pytest.mark.parametrize("database_kind", ["sqlite"])


def test_a_recut_seat_is_told_with_what_was_taken_and_what_is_left(
    shop: Shop, fleet: Fleet, technician: Person, office: Person, other_office: Person
) -> None:
    injector = recut(shop, received(shop, fleet), "1.100", "1.150")
    for person in (technician, office):
        answer = person.get(f"/overhauls/{injector.number}/recuts")
        assert answer.status_code == 200, answer.text
        (seat,) = answer.json()["items"]
        assert (seat["characteristic"], seat["part"], seat["limit_side"]) == ("body-seat-width", "body", "upper")
        assert seat["recuts"] == [
            {
                "method": "Milled.",
                "before": {"size_mm": "1.1", "expanded_uncertainty_mm": "0.001"},
                "after": {"size_mm": "1.15", "expanded_uncertainty_mm": "0.001"},
                "taken_mm": "0.05",
            }
        ]
        assert seat["remaining"] == {"remaining_mm": "0.45", "expanded_uncertainty_mm": "0.001"}
        assert (seat["cuts"], seat["likely"], seat["warning"]) == (1, None, "")
        assert "a forecast needs 9" in seat["sentence"]
    assert other_office.get(f"/overhauls/{injector.number}/recuts").status_code == 404


def test_from_nine_cuts_on_the_range_is_answered(shop: Shop, fleet: Fleet, technician: Person) -> None:
    cuts = [f"1.{50 + 5 * cut:03d}" for cut in range(1, 10)]
    injector = recut(shop, received(shop, fleet), "1.050", *cuts)
    (seat,) = technician.get(f"/overhauls/{injector.number}/recuts").json()["items"]
    # 0.505 mm is left and each cut took 0.005 mm: more cuts than a forecast ever names.
    assert seat["likely"] == {"careful": 40, "even": 40, "hopeful": 40, "at_least": True}
    assert seat["cuts"] == 9


def test_before_anything_is_measured_nothing_is_told(shop: Shop, fleet: Fleet, technician: Person) -> None:
    (seat,) = technician.get(f"/overhauls/{received(shop, fleet).number}/recuts").json()["items"]
    assert (seat["recuts"], seat["remaining"], seat["likely"]) == ([], None, None)
    assert seat["sentence"] == "Not measured yet."


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"size": "NaN"}, "size"),
        ({"limit": "-1"}, "limit"),
        ({"expanded_uncertainty": "-0.1"}, "expanded_uncertainty"),
        ({"side": "left"}, "side"),
        ({"cuts": "0.05,zero"}, "cuts"),
        ({"cuts": ",".join(["0.05"] * 501)}, "cuts"),
        ({"cuts": ",".join(["-0.05"] * 9)}, "depths"),
        ({"limit": "99"}, "remaining"),
    ],
)
def test_what_cannot_be_forecast_is_refused_by_its_field(
    technician: Person, change: dict[str, str], field: str
) -> None:
    asked = {"size": "12.3", "limit": "12.6", "expanded_uncertainty": "0.01", "cuts": ",".join(["0.05"] * 9)}
    answer = technician.get("/calculations/recuts", **{**asked, **change})
    assert (answer.status_code, answer.json()["field"]) == (422, field)
