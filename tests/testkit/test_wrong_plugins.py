"""Each wrong plugin is caught by the check meant for it, by no other, with a message that says what to do."""

import re

import pytest

from tallyplate.contract import CostModule, Family
from tallyplate.testkit import check
from tallyplate.testkit.check import State
from tests.testkit import wrong_declarations, wrong_families, wrong_modules
from tests.testkit.wrong import Wrong, checks, trial, verdicts

pytestmark = pytest.mark.slow

CASES = {
    f"{kind} that {how}": (one, name)
    for kind, name, wrong in (
        ("a family", "tray", wrong_families.WRONG | wrong_declarations.FAMILIES),
        ("a module", "nameplates", wrong_modules.WRONG | wrong_declarations.MODULES),
    )
    for how, one in wrong.items()
}
ELSEWHERE = frozenset(("says_the_same_elsewhere",))
"""Starts processes: asked of those that only it can catch."""
NEAR = {how: case for how, case in CASES.items() if case[0].check not in ELSEWHERE}
FAR = {how: case for how, case in CASES.items() if case[0].check in ELSEWHERE}


@pytest.fixture
def _enough_draws(monkeypatch: pytest.MonkeyPatch) -> None:
    """So many that each is caught, wherever chance begins."""
    monkeypatch.setattr(check, "DRAWN", 20)


def caught(wrong: Wrong, name: str, but: frozenset[str] = frozenset()) -> None:
    """Asserts that a plugin breaks the check meant for it and no other, and that its author is told what to do."""
    on = trial(wrong.plugin, wrong.name or name)
    said = verdicts(wrong.plugin, on, but)
    broken = {name: verdict.message for name, verdict in said.items() if verdict.state is State.BROKEN}
    assert list(broken) == [wrong.check], broken
    message = broken[wrong.check]
    assert re.search(wrong.says, message, re.DOTALL), message
    remedy = next(one.remedy for one in checks(wrong.plugin) if one.name == wrong.check)
    assert message.startswith(f"{on.name}: ")
    assert message.endswith(remedy)


@pytest.mark.usefixtures("_few_draws", "_enough_draws", "_few_plates")
@pytest.mark.parametrize(("wrong", "name"), NEAR.values(), ids=NEAR)
def test_it_is_caught_by_the_check_meant_for_it_alone(wrong: Wrong, name: str) -> None:
    caught(wrong, name, ELSEWHERE)


@pytest.mark.usefixtures("_few_draws")
@pytest.mark.parametrize(("wrong", "name"), FAR.values(), ids=FAR)
def test_it_is_caught_in_another_process_alone(wrong: Wrong, name: str) -> None:
    caught(wrong, name)


def test_every_check_catches_one_of_them_but_those_of_what_is_not_installed_and_of_the_engine() -> None:
    catching = {one.check for one, _ in CASES.values()}
    every = {check.name for one, _ in CASES.values() for check in checks(one.plugin)}
    assert every - catching == {"installed", "same_beside_others"}


@pytest.mark.usefixtures("_few_draws", "_few_plates")
@pytest.mark.parametrize(("right", "name"), [(wrong_families.RIGHT, "tray"), (wrong_modules.RIGHT, "nameplates")])
def test_the_plugin_that_the_wrong_ones_are_made_from_is_right(right: Family | CostModule, name: str) -> None:
    said = verdicts(right, trial(right, name), ELSEWHERE)
    assert not {one: verdict for one, verdict in said.items() if verdict.state in {State.BROKEN, State.WAITS}}
