"""The laws of services: one more never makes an order cheaper, and none leaves every line as it was."""

from itertools import pairwise
from typing import Any, Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tallyplate.money import count
from tests.plates import installation, request

LEVELS: Final[dict[str, tuple[Any, ...]]] = {
    "material_certificate": ("none", "2.1", "2.2", "3.1"),
    "inspection_report": ("none", "summary", "every_hole"),
    "packing": ("standard", "export"),
    "spares": ({}, {"bushings": {"M12": 20}}, {"bushings": {"M12": 40, "M16": 1}, "screws": {"M12": 300}}),
    "plugs": ("none", "every_hole"),
    "matched": (False, True),
    "rush": (False, True),
}
"""What each service may be, from less to more."""

SIZES: Final = st.sampled_from(["120 mm", "200 mm", "400 mm"])
SERVICES: Final = st.fixed_dictionaries({}, optional={name: st.sampled_from(all_) for name, all_ in LEVELS.items()})


def _total(size: str, quantity: int, services: dict[str, Any]) -> int:
    changes = {"/plate/length": size, "/plate/width": size, "/quantity": quantity, "/services": services}
    asked = request(changes | {"/plate/mounting": {"surface": "none"}})
    return count(installation().price(asked).total, 2)


@settings(max_examples=30)
@given(SIZES, st.integers(1, 300), SERVICES, st.sampled_from(sorted(LEVELS)))
def test_more_of_a_service_never_makes_an_order_cheaper(
    size: str, quantity: int, others: dict[str, Any], name: str
) -> None:
    totals = [_total(size, quantity, others | {name: level}) for level in LEVELS[name]]
    assert all(less <= more for less, more in pairwise(totals))


@settings(max_examples=20)
@given(SIZES, st.integers(1, 60), SERVICES, st.integers(2, 5))
def test_more_plates_never_cost_less_and_times_as_many_never_more_than_so_many_times_whatever_is_asked_for(
    size: str, quantity: int, services: dict[str, Any], k: int
) -> None:
    few, many = _total(size, quantity, services), _total(size, k * quantity, services)
    assert few <= many
    assert many <= k * few + 5 * k  # a cent for each line that rounds


@pytest.mark.parametrize("name", LEVELS)
def test_a_service_that_is_said_not_to_be_wanted_leaves_every_line_as_it_was(name: str) -> None:
    here = installation()
    asked = request({"/services": {name: LEVELS[name][0]}})
    assert here.price(asked) == here.price(request()) == here.price(request({"/services": {}}))
