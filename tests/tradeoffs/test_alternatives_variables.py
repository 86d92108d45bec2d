"""What may change: as usual, as named, with values; and every fault of it by its own pointer."""

from typing import Any

import pytest

from tallyplate.contract import Refusal
from tallyplate.http.effects import start
from tallyplate.tradeoffs.alternatives.variables import USUAL, Variable, variables
from tests.plates import MINIMAL, installation, request
from tests.tradeoffs.alternatives import PLENTY, found
from tests.tradeoffs.effects import REWORK, ROUND


def _variables(asked: Any, *said: Any) -> dict[str, Variable]:
    return {one.pointer: one for one in variables(start(asked, installation()), *said)}


def _faults(*said: Any, asked: Any = None) -> dict[str, str]:
    with pytest.raises(Refusal) as refusal:
        _variables(asked or request(), list(said))
    return {fault.pointer: fault.message for fault in refusal.value.faults}


def test_what_may_change_as_usual_trades_money_for_what_is_compared() -> None:
    free = _variables(request())
    assert tuple(free) == USUAL
    assert set(free["/plate/material"].others) == set(installation().shops[-1].materials) - {"al-6061-t6"}
    assert free["/plate/position_tolerance"].others == ("0.02 mm", "0.01 mm", "0.05 mm", "0.1 mm", "0.2 mm")
    assert free["/plate/pattern/arrangement"].others == ("combination",)
    assert {"30 mm", "40 mm"} <= set(free["/plate/pattern/pitch"].others)
    assert "38 mm" in free["/plate/thickness"].others
    assert all(one.given for one in free.values())


def test_lengths_are_tried_in_the_callers_unit_and_what_is_open_is_free_too() -> None:
    free = _variables(MINIMAL)
    assert free["/plate/thickness"].present == "1.9 in"
    assert not free["/plate/thickness"].given
    assert all(str(one).endswith(" in") for one in free["/plate/pattern/pitch"].others)


def test_a_family_has_those_that_it_has() -> None:
    assert "/plate/pattern/arrangement" in _variables(ROUND)
    assert "separate" not in _variables(ROUND)["/plate/pattern/arrangement"].others
    assert tuple(_variables(ROUND, ["/plate/bolt_circles/0/screw"])) == ("/plate/bolt_circles/0/screw",)


def test_values_of_the_callers_are_tried_without_the_present_one() -> None:
    asked = [{"pointer": "/plate/pattern/pitch", "values": ["35 mm", "50 mm", "50 mm"]}, "/plate/pattern/bushings"]
    free = _variables(request(), asked)
    assert free["/plate/pattern/pitch"].others == ("50 mm",)
    assert free["/plate/pattern/bushings"].others == (False,)


def test_faults_name_the_pointer_or_the_value_and_what_is_accepted() -> None:
    wrong = _faults(
        "/plate/colour",
        "/quantity",
        "/plate/length",
        "/plate/finish",
        "/plate/finish",
        {"pointer": "/plate/thickness", "values": ["40 mm", "40", True]},
        {"pointer": "/plate/material", "values": ["cheese"]},
        {"pointer": "/plate/marking/edges", "values": [["left"], ["under"]]},
    )
    assert "accepted: /plate/material" in wrong["/may_change/0"]
    assert "no choice of this plate" in wrong["/may_change/1"]
    assert "an object with its pointer and values" in wrong["/may_change/2"]
    assert "/may_change/3" not in wrong
    assert wrong["/may_change/4"] == "/plate/finish stands twice; accepted: each once"
    assert "/may_change/5/values/0" not in wrong
    assert {"/may_change/5/values/1", "/may_change/5/values/2"} <= set(wrong)
    assert "'cheese' is not on offer" in wrong["/may_change/6/values/0"]
    assert "accepted: left, right, bottom, top" in wrong["/may_change/7/values/1/0"]


@pytest.mark.parametrize("said", [None, {}, "/plate/finish", [5], [{"pointer": "/plate/finish"}], [["/plate/finish"]]])
def test_what_is_no_list_of_fields_is_refused(said: Any) -> None:
    with pytest.raises(Refusal) as refusal:
        _variables(request(), said)
    assert all(fault.pointer.startswith("/may_change") for fault in refusal.value.faults)


def test_a_thickness_that_only_another_material_comes_in_may_be_asked_for() -> None:
    steel = {"pointer": "/plate/material", "values": ["steel-1018"]}
    thick = {"pointer": "/plate/thickness", "values": ["95 mm"]}
    asked = request({"/plate/material": "acetal", "/plate/finish": "plain", "/budget": PLENTY})
    assert "/plate/thickness" in _variables(asked, [steel, thick])


def test_more_combinations_than_are_examined_are_refused_with_their_number_before_any_is_built() -> None:
    lengths = [f"{30 + step / 10} mm" for step in range(100)]
    wrong = _faults(
        {"pointer": "/plate/pattern/pitch", "values": lengths},
        {"pointer": "/plate/flatness", "values": [f"0.{step:03d} mm" for step in range(100, 200)]},
        {"pointer": "/plate/position_tolerance", "values": [f"0.{step:03d} mm" for step in range(200, 300)]},
    )
    assert wrong["/may_change"].startswith("1030301 combinations (/plate/pattern/pitch 101, ")
    assert wrong["/may_change"].endswith("accepted: at most 1000000")


def test_where_nothing_may_change_the_plate_itself_is_the_only_alternative() -> None:
    answer = found({**request({"/budget": PLENTY}), "may_change": []})
    assert (answer["examined"], answer["possible"], len(answer["alternatives"])) == (1, 1, 1)


def test_what_a_plate_that_exists_is_may_not_change() -> None:
    free = {one.pointer for one in variables(start(REWORK, installation()))}
    assert "/plate/pattern/pitch" in free
    assert not free & {"/plate/material", "/plate/thickness"}
    with pytest.raises(Refusal, match="'/plate/thickness' is no choice of this plate; accepted: /plate/finish"):
        variables(start(REWORK, installation()), ["/plate/thickness"])
