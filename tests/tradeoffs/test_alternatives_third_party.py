"""Alternatives stay exact with plugins of anybody's, also with those whose charges cannot be foreseen."""

from typing import Any

import pytest

import tallyplate
from tallyplate.contract import Refusal
from tallyplate.tradeoffs.alternatives import front
from tests.plates import DATA, MINIMAL, installation
from tests.tradeoffs.alternatives import PLENTY, assert_exact, found, with_modules
from tests.tradeoffs.odd_costs import CURIOUS, LATER, MAKING

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


def test_a_family_that_looks_at_everything_is_exact() -> None:
    here = installation()
    curious = tallyplate.installation.compose({**here.families, "curious": CURIOUS}, here.modules, DATA)
    plate = {"family": "curious", "side": "10 in", "material": "al-6061-t6"}
    answer = assert_exact({"plate": plate, "as_of": "2026-03-02", "may_change": [FREE[0], *FREE[2:]]}, curious)
    assert len(answer["alternatives"]) > 1


def test_a_search_that_would_price_too_many_one_by_one_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(front, "MOST_PRICED", 5)
    with pytest.raises(Refusal, match="more than 5 combinations have to be priced one by one"):
        found({**ASKED, "budget": PLENTY}, with_modules(by_step=LATER["by_step"]))
