"""Holding screws and pins slide out of the way of what a customer placed, where the table lets them."""

from typing import Any

import pytest

from tallyplate.contract import Outline
from tallyplate.contract.avoiding import COSTLY, clear_of, weighed
from tests.families.test_features import HOLE, POCKET, points
from tests.plates import answer, built

WALLS = {"feature-wall", "thin-wall"}


def codes(*features: dict[str, Any]) -> set[str]:
    return {one["code"] for one in answer({"/plate/features": list(features)})["findings"]}


def places(kind: str, *features: dict[str, Any]) -> list[tuple[float, float]]:
    (group,) = [group for group in built({"/plate/features": list(features)}).holes if group.kind == kind]
    return list(group.layout.positions())


@pytest.mark.parametrize("kind", ["holding", "pin"])
def test_a_screw_or_a_pin_makes_way_for_a_hole_in_its_place(kind: str) -> None:
    x, y = places(kind)[1]
    hole = HOLE | {"kind": "plain", "diameter": "6 mm", "at": points((x, y))}
    hole = {name: value for name, value in hole.items() if name != "screw"}
    assert (x, y) not in places(kind, hole)
    assert not WALLS & codes(hole)


def test_features_out_of_the_way_move_nothing() -> None:
    far = POCKET | {"at": points((350, 225))[0]}
    assert places("holding", far) == places("holding")
    assert places("pin", far) == places("pin")


def test_a_place_too_near_counts_for_more_than_any_that_loses_holes() -> None:
    avoided = clear_of([Outline(((100.0, 50.0),), 10.0)], 8.0, 2.0)
    dearer = weighed(lambda _: 3, avoided, (50.0, 90.0))
    assert [dearer(x) for x in (83.9, 84.0, 84.1, 116.1)] == [3, 3, COSTLY + 3, 3]
    assert weighed(len, avoided, (90.0,)) is len  # type: ignore[arg-type,comparison-overlap]
