"""Answers of a pattern that have no meaning together: refused where they stand, and told what would be accepted."""

from typing import Any

import pytest

from tallyplate.contract import Refusal
from tests.contract.test_laying import plate


def refused(**changes: Any) -> dict[str, str]:
    with pytest.raises(Refusal) as refusal:
        plate(**changes)
    return {fault.pointer: fault.message for fault in refusal.value.faults}


REFUSED: dict[str, tuple[dict[str, Any], dict[str, str]]] = {
    "an origin beside another beginning": (
        {"origin": {"x": "30 mm", "y": "30 mm"}, "laid_from": "shared"}, {"origin": "laid_from margin"},
    ),
    "a table that is none": ({"laid_from": "table"}, {"laid_from": "margin, shared, centre"}),
    "staggered rows that take turns": ({"arrangement": "alternating", "staggered": True}, {"staggered": "combination"}),
    "rows that there are not": ({"rows_left_out": [7, 8]}, {"rows_left_out/1": "1 to 7"}),
    "columns that there are not": ({"columns_left_out": [12]}, {"columns_left_out/0": "1 to 11"}),
    "every row": ({"rows_left_out": [1, 2, 3, 4, 5, 6, 7]}, {"rows_left_out": "at least one"}),
    "every column": ({"columns_left_out": list(range(1, 12))}, {"columns_left_out": "at least one"}),
    "what each lattice states": (
        {"arrangement": "separate", "pitch_across": "50 mm", "rows_left_out": [1]},
        {"pitch": "in each", "pitch_across": "in each", "rows_left_out": "in each"},
    ),
}  # fmt: skip


@pytest.mark.parametrize(("changes", "expected"), REFUSED.values(), ids=REFUSED)
def test_what_has_no_meaning_is_refused_where_it_stands(changes: dict[str, Any], expected: dict[str, str]) -> None:
    faults = refused(**changes)
    assert set(faults) == {f"/plate/pattern/{name}" for name in expected}
    for name, accepted in expected.items():
        assert accepted in faults[f"/plate/pattern/{name}"].replace("that arrangement", "combination")


def test_more_rows_left_out_than_the_list_may_hold_are_refused() -> None:
    with pytest.raises(Refusal, match="rows_left_out"):
        plate(rows_left_out=list(range(1, 102)))
