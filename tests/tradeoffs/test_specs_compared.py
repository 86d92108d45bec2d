"""What two requests ask differently: every answer, given or assumed, and nothing that is the same."""

from typing import Any

import pytest

from tallyplate.contract import Assumption
from tallyplate.tradeoffs.specs_compared import SpecDifference, differences


@pytest.mark.parametrize(
    ("a", "b", "expected"),
    [
        ({"width": "1 in"}, {"width": "25.4 mm"}, []),
        ({"width": "1 in"}, {"width": "26 mm"}, [("/width", "1 in", "26 mm")]),
        ({"material": "iron"}, {"material": "steel"}, [("/material", "iron", "steel")]),
        ({"x": {"y~/": True}}, {}, [("/x/y~0~1", True, None)]),
        ({}, {"x": 1}, [("/x", None, 1)]),
        ({"x": 1}, {"x": True}, [("/x", 1, True)]),
        ({"edges": ["left"]}, {"edges": ["left", "top"]}, [("/edges", ("left",), ("left", "top"))]),
        ({"edges": []}, {"edges": []}, []),
        ({"x": {}}, {}, []),
        ({"holes": [{"d": "1 mm"}, {"d": "2 mm"}]}, {"holes": [{"d": "1 mm"}]}, [("/holes/1/d", "2 mm", None)]),
        ({"b": 1, "a": 2}, {"a": 3, "b": 4, "c": 5}, [("/b", 1, 4), ("/a", 2, 3), ("/c", None, 5)]),
    ],
    ids=repr,
)
def test_what_differs_is_named_by_pointer_in_the_order_of_the_first(
    a: dict[str, Any], b: dict[str, Any], expected: list[tuple[str, Any, Any]]
) -> None:
    assert differences(a, b) == tuple(SpecDifference(*one) for one in expected)


def test_an_assumed_answer_counts_as_if_it_were_given() -> None:
    usual = (Assumption("/finish", "plain", "the usual finish"),)
    assert differences({"finish": "plain"}, {}, (), usual) == ()
    assert differences({}, {"finish": "painted"}, usual, ()) == (SpecDifference("/finish", "plain", "painted"),)
