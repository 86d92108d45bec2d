"""`POST /v1/prices/batch`: a line in, a line out."""

import json
from collections.abc import Iterable
from datetime import date
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallyplate.http import app, lines
from tallyplate.http.app import create_app
from tallyplate.http.limits import Limits
from tallyplate.installation import Form, Installation, compose
from tests.callers import customers
from tests.http.problem import problem
from tests.http.talking import NDJSON, told
from tests.misbehaving import module
from tests.plates import DATA, MINIMAL, installation, request
from tests.serving import Ask, Logs, asking

PATH = "/v1/prices/batch"
GOOD = json.dumps(MINIMAL).encode()
OTHER = json.dumps(request({"/quantity": 3})).encode()
SERVICE = create_app(installation())


def _lines(ask: Ask, *sent: bytes) -> list[dict[str, Any]]:
    response = ask("POST", PATH, content=b"\n".join(sent), headers={"content-type": NDJSON})
    assert response.status_code == 200
    assert response.headers["content-type"] == NDJSON
    assert response.content.endswith(b"\n") or not response.content
    return [json.loads(line) for line in response.content.splitlines()]


def _one_by_one(ask: Ask, sent: Iterable[bytes]) -> list[bytes]:
    """What the call for one plate answers to each line that is not empty, problems with their line."""
    answers = []
    for number, line in enumerate(sent, start=1):
        if line.strip():
            response = ask("POST", "/v1/prices", content=line, headers={"content-type": "application/json"})
            refused = response.status_code != 200
            answers.append(response.content[:-1] + b',"line":%d}' % number if refused else response.content)
    return answers


LINES = st.sampled_from(
    [GOOD, OTHER, b"", b"  \t", b"{", b"{}", b"7", b"\xff", b"\x0b{}", b'{"a":1,"a":2}', b'{"plate":{"family":"oval"}}']
)


@given(sent=st.lists(LINES, max_size=12), cuts=st.lists(st.integers(0, 1500), max_size=12), end=st.booleans())
def test_each_line_is_answered_in_its_order_as_the_call_for_one_plate_answers_it(
    ask: Ask, sent: list[bytes], cuts: list[int], end: bool
) -> None:
    body = b"\n".join(sent) + b"\n" * end
    places = sorted({0, *(min(cut, len(body)) for cut in cuts), len(body)})
    pieces = [body[start:stop] for start, stop in pairwise(places)]
    assert told(SERVICE, pieces) == _one_by_one(ask, sent)


def test_line_ends_may_be_those_of_any_system_and_the_last_may_be_missing(ask: Ask) -> None:
    first, second = _lines(ask, GOOD + b"\r", OTHER)
    assert (first["quantity"], second["quantity"]) == (1, 3)
    assert _lines(ask) == []


def test_a_line_may_be_as_long_as_a_body_for_one_plate_and_no_longer(ask: Ask) -> None:
    assert lines.MAX_LINE == app.MAX_BODY
    longest = GOOD.ljust(lines.MAX_LINE)
    priced, refused, after = _lines(ask, longest, longest + b" ", GOOD)
    assert priced["total"] == after["total"]
    assert (refused["line"], refused["status"], refused["type"]) == (2, 413, "/problems/too-large")
    assert refused["detail"] == f"accepted: at most {lines.MAX_LINE} bytes a line"


def test_a_long_line_of_blanks_is_not_passed_over_in_silence(ask: Ask) -> None:
    (refused,) = _lines(ask, b" " * (lines.MAX_LINE + 1) + GOOD)
    assert refused["type"] == "/problems/too-large"


def test_a_plugin_that_fails_costs_one_line_and_is_explained_to_the_log(logs: Logs) -> None:
    def fail_on_seven(_: Any, order: Any, *__: Any) -> Any:
        if order.quantity == 7:
            message = "the drill broke"
            raise RuntimeError(message)
        return ()

    here = installation()
    ask = asking(create_app(compose(here.families, {**here.modules, "paint": module(fail_on_seven)}, DATA)))
    orders = [json.dumps(request({"/quantity": quantity}, MINIMAL)).encode() for quantity in (1, 7, 2)]
    first, refused, last = _lines(ask, *orders)
    assert (first["quantity"], last["quantity"]) == (1, 2)
    assert (refused["line"], refused["status"], refused["type"]) == (2, 500, "/problems/plugin-failure")
    assert "'paint'" in refused["detail"]
    assert "drill" not in refused["detail"]
    assert [(entry["event"], entry["log_level"]) for entry in logs] == [
        ("plugin failed", "error"),
        ("answered", "info"),
    ]


def test_a_failure_of_ours_costs_one_line_and_tells_the_caller_nothing_inside(
    logs: Logs, monkeypatch: pytest.MonkeyPatch
) -> None:
    priced = Installation.price_json

    def fail_once(self: Installation, body: bytes, today: date | None = None, form: Form = Form.INSIDE) -> bytes:
        if body == OTHER:
            raise KeyError("secret")
        return priced(self, body, today, form)

    monkeypatch.setattr(Installation, "price_json", fail_once)
    first, refused, last = _lines(asking(SERVICE), GOOD, OTHER, GOOD)
    assert first == last
    assert (refused["line"], refused["type"]) == (2, "/problems/internal-error")
    assert "secret" not in str(refused)
    assert logs[0]["event"] == "failed"


def test_after_the_most_lines_that_a_call_takes_one_problem_ends_the_answer() -> None:
    ask = asking(create_app(installation(), limits=Limits(batch_lines=3)))
    assert len(_lines(ask, GOOD, b"", GOOD, GOOD, b"")) == 3
    *priced, refused = _lines(ask, GOOD, b"", GOOD, GOOD, GOOD, GOOD)
    assert len(priced) == 3
    assert (refused["line"], refused["detail"]) == (5, "accepted: at most 3 lines a call")


@pytest.mark.parametrize("media_type", ["application/json", "text/plain", ""])
def test_another_media_type_is_refused_as_a_whole(ask: Ask, media_type: str) -> None:
    response = ask("POST", PATH, content=GOOD, headers={"content-type": media_type})
    errors = problem(response, 415, "not-json")
    assert "accepted: application/x-ndjson" in errors[""]


def test_a_service_of_the_outside_form_answers_in_it() -> None:
    (answer,) = _lines(asking(create_app(installation(), customers())), GOOD)
    assert "hours" not in answer
    assert all("rate" not in line for line in answer["lines"])
