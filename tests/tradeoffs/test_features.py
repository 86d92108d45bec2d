"""Features in what is asked before a price: nobody is asked for a part of one, and what is wrong in one is named."""

from typing import Any

import pytest

from tallyplate.contract import Refusal
from tallyplate.tradeoffs.questions.given import read
from tests.families.test_features import BARE, HOLE, POCKET, SLOT
from tests.plates import installation, request

FAMILIES = installation().families


def given(*features: dict[str, Any]) -> dict[str, Any]:
    return request({**BARE, "/plate/features": list(features)})


def test_whole_features_leave_nothing_open() -> None:
    assert read(given(HOLE, POCKET, SLOT), FAMILIES).families == {"rectangular": ()}


@pytest.mark.parametrize(
    ("feature", "pointer"),
    [
        ({"feature": "pocket", "length": "80 mm", "width": "40 mm"}, "/plate/features/0/depth"),
        ({"length": "80 mm"}, "/plate/features/0/feature"),
        ({"feature": "hole", "kind": "tapped", "screw": "M12", "at": [{"x": "9 mm"}]}, "/plate/features/0/at/0/y"),
    ],
)
def test_what_a_feature_lacks_is_wrong_and_no_question(feature: dict[str, Any], pointer: str) -> None:
    with pytest.raises(Refusal, match="is required and missing") as refused:
        read(given(feature), FAMILIES)
    assert [fault.pointer for fault in refused.value.faults] == [pointer]


def test_lifting_holes_and_handles_are_asked_for_since_customers_forget_them() -> None:
    worded = {question.pointer: question for question in FAMILIES["rectangular"].questions}
    for name in ("lifting_holes", "handles"):
        assert "?" in worded[f"/plate/{name}"].ask
