"""Alternatives stay exact with plugins of anybody's, also with those whose charges cannot be foreseen."""

from typing import Any

import pytest

import tallyplate
from tallyplate.contract import Family
from tests.plates import DATA, MINIMAL
from tests.tradeoffs.alternatives import assert_exact, with_modules
from tests.tradeoffs.odd_costs import CURIOUS, HANDING, LATER, MAKING, STUBBORN

FREE: list[Any] = [
    "/plate/finish",
    {"pointer": "/plate/pattern/pitch", "values": ["30 mm", "40 mm"]},
    # The second and the third are as tight as each other, and are written with as many characters as no other.
    {"pointer": "/plate/position_tolerance", "values": ["0.02 mm", "2/1000 in", "0.0508 mm"]},
    {"pointer": "/plate/flatness", "values": ["0.2 mm"]},
]
ASKED = {**MINIMAL, "quantity": 3, "may_change": FREE}


def test_modules_that_read_what_no_shipped_one_reads_are_exact() -> None:
    assert len(assert_exact(ASKED, with_modules(**MAKING))["alternatives"]) > 2


@pytest.mark.parametrize("name", LATER)
def test_a_module_that_sees_earlier_lines_is_exact(name: str) -> None:
    assert len(assert_exact(ASKED, with_modules(**{name: LATER[name]}))["alternatives"]) > 2


@pytest.mark.parametrize(("name", "family"), [("curious", CURIOUS), ("stubborn", STUBBORN), ("handing", HANDING)])
def test_a_family_that_looks_at_everything_or_hands_it_on_elsewhere_is_exact(name: str, family: Family) -> None:
    here = with_modules(by_side=MAKING["by_side"])
    families = {**here.families, name: family}
    odd = tallyplate.installation.compose(families, here.modules, DATA)
    plate = {"family": name, "side": "10 in", "material": "al-6061-t6"}
    answer = assert_exact({"plate": plate, "as_of": "2026-03-02", "may_change": [FREE[0], *FREE[2:]]}, odd)
    assert len(answer["alternatives"]) > 1
