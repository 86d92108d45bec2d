"""What is shipped keeps every check of the kit."""

import pytest

from tallyplate.contract import CostModule, Family
from tallyplate.testkit.check import State
from tallyplate.testkit.elsewhere import told, told_elsewhere
from tallyplate.testkit.purity import HASH_SEEDS
from tallyplate.testkit.subject import Subject, reference
from tests.plates import installation
from tests.testkit.wrong import trial, verdicts

PLUGINS: dict[str, Family | CostModule] = {**installation().families, **installation().modules}
MAY_BE_EXEMPT = {"reads_no_blank", "reads_no_order", "any_order_of_modules"}
"""Checks of what a module promises or sees, where it does neither."""


@pytest.mark.usefixtures("_few_draws", "_few_plates")
@pytest.mark.parametrize("name", PLUGINS)
def test_it_keeps_every_check(name: str) -> None:
    said = verdicts(PLUGINS[name], trial(PLUGINS[name], name), frozenset(("says_the_same_elsewhere",)))
    amiss = {check: verdict for check, verdict in said.items() if verdict.state in {State.BROKEN, State.WAITS}}
    assert not amiss
    assert {check for check, verdict in said.items() if verdict.state is State.EXEMPT} <= MAY_BE_EXEMPT


def test_they_answer_the_same_in_other_processes() -> None:
    trials = {name: trial(PLUGINS[name], name) for name in ("rectangular", "round", "stock")}
    here = {name: [told(one.answer(question)) for question in one.questions] for name, one in trials.items()}
    places = [reference(Subject(one.subject.kind, name)) for name, one in trials.items()]
    for answers in told_elsewhere([place for place in places if place], HASH_SEEDS):
        assert dict(zip(trials, answers, strict=True)) == here
