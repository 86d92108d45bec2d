"""A plugin that fails while it prices: a problem that names it, a log that tells why, and no price."""

from collections.abc import Callable
from typing import Any

import pytest
from msgspec.structs import replace

from tallyplate.http.app import create_app
from tallyplate.installation import Installation, compose
from tests.http.problem import problem
from tests.misbehaving import WRONG, module
from tests.plates import DATA, MINIMAL, installation, request
from tests.serving import Ask, Logs, asking


def _ask_with(charges: Callable[..., Any]) -> Ask:
    here = installation()
    return asking(create_app(compose(here.families, {**here.modules, "paint": module(charges)}, DATA)))


@pytest.mark.parametrize(("charges", "reason"), [pytest.param(*case, id=name) for name, case in WRONG.items()])
def test_a_failing_module_is_named_to_the_caller_and_explained_to_the_log(
    logs: Logs, charges: Callable[..., Any], reason: str
) -> None:
    response = _ask_with(charges)("POST", "/v1/prices", json=request())
    assert problem(response, 500, "plugin-failure") == {}
    assert "'paint'" in response.json()["detail"]
    assert reason not in response.text
    (failure, answered) = logs
    assert (failure["log_level"], failure["module"]) == ("error", "paint")
    assert reason in str(failure["exc_info"])
    assert answered["status"] == 500


def test_a_failing_module_does_not_stop_what_needs_no_price() -> None:
    ask = _ask_with(WRONG["it raises"][0])
    assert ask("POST", "/v1/prices", json=request()).status_code == 500
    assert ask("GET", "/health/live").status_code == 200
    problem(ask("POST", "/v1/prices", json={}), 422, "invalid-request")


def test_a_family_that_fails_is_named_like_a_cost_module() -> None:
    def build(*_: Any) -> Any:
        message = "the pencil broke"
        raise RuntimeError(message)

    here = installation()
    families = {"rectangular": replace(here.families["rectangular"], build=build)}
    broken = Installation(families, here.modules, here.cards, here.shops, here.versions)
    response = asking(create_app(broken))("POST", "/v1/prices", json=MINIMAL)
    problem(response, 500, "plugin-failure")
    assert "'rectangular'" in response.json()["detail"]
