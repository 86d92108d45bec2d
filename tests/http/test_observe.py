"""What is seen of each answer: its kind of problem, its key, the card in force, and callers that hung up."""

import asyncio
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from msgspec import Struct
from prometheus_client.parser import text_string_to_metric_families

from tallyplate.http.app import create_app
from tallyplate.http.limits import Limits
from tallyplate.http.metrics import Metrics
from tallyplate.http.observe import Observed, problem_kind
from tallyplate.http.problems import encoded, problem
from tallyplate.installation import compose
from tallyplate.reload import Current
from tests.http.asgi import Call, done
from tests.plates import installation, request
from tests.rates.folder import write_data
from tests.serving import Ask, Logs, asking


class Known(Struct):
    name: str


def _samples(text: str) -> dict[tuple[str, frozenset[tuple[str, str]]], float]:
    families = list(text_string_to_metric_families(text))
    return {(s.name, frozenset(s.labels.items())): s.value for family in families for s in family.samples}


def _observed(app: Any) -> tuple[Observed, Metrics]:
    metrics = Metrics(Current(installation()))
    return Observed(app, metrics, frozenset({"/v1/prices"})), metrics


def test_refusals_are_counted_by_kind() -> None:
    ask = asking(create_app(installation()))
    ask("POST", "/v1/prices", json={})
    ask("POST", "/v1/prices", json={})
    ask("GET", "/nowhere")
    told = _samples(ask("GET", "/metrics").text)
    assert told["tallyplate_problems_total", frozenset({("kind", "invalid-request")})] == 2
    assert told["tallyplate_problems_total", frozenset({("kind", "not-found")})] == 1


def test_the_versions_in_force_are_shown_and_none_where_none_is(tmp_path: Path) -> None:
    def shown(ask: Ask) -> set[str]:
        families = text_string_to_metric_families(ask("GET", "/metrics").text)
        (found,) = (family for family in families if family.name == "tallyplate_in_force")
        return {sample.labels["digest"] for sample in found.samples}

    ask = asking(create_app(installation()))
    ready = ask("GET", "/health/ready").json()
    assert shown(ask) == {ready["rate_card"]["digest"], ready["shop_data"]["digest"]}
    write_data(tmp_path, card={"effective_from": date(2190, 1, 1)})
    here = installation()
    assert shown(asking(create_app(compose(here.families, here.modules, tmp_path)))) == set()


def test_a_line_names_the_key_and_the_card_in_force(logs: Logs) -> None:
    app, metrics = _observed(lambda scope, receive, send: done(send))
    asyncio.run(Call("/v1/prices", caller=Known("erp-2026")).to(app))
    current = metrics.loaded.current.installation
    (line,) = logs
    assert line["key"] == "erp-2026"
    assert line["card"] == current.in_force(current.today())[0].digest


def test_a_caller_that_hung_up_before_its_answer_is_no_failure(logs: Logs) -> None:
    async def nothing(*_: Any) -> None:
        return

    app, metrics = _observed(nothing)
    asyncio.run(Call("/v1/prices").to(app))
    (line,) = logs
    assert (line["event"], line["status"]) == ("hung up", None)
    labels = frozenset({("route", "/v1/prices"), ("status", "none")})
    assert _samples(metrics.text().decode())["tallyplate_answers_total", labels] == 1


def test_a_body_that_is_cut_off_ends_in_no_failure(logs: Logs) -> None:
    class Cut(Call):
        async def receive(self) -> Any:
            return await super().receive() if len(self.pieces) > 1 else {"type": "http.disconnect"}

    call = asyncio.run(Cut("/v1/prices", b"{", b"}").to(create_app(installation())))
    assert call.status == 0
    assert [(line["event"], line["log_level"]) for line in logs] == [("hung up", "info")]


def test_an_application_that_fails_is_seen_as_a_failure(logs: Logs) -> None:
    async def failing(*_: Any) -> None:
        raise ZeroDivisionError

    app, _ = _observed(failing)
    with pytest.raises(ZeroDivisionError):
        asyncio.run(Call("/v1/prices").to(app))
    assert logs[0]["status"] == 500


def test_the_kind_of_a_problem_is_read_from_problems_alone() -> None:
    assert problem_kind(encoded(problem("not-found", "x"))) == "not-found"
    assert problem_kind(b'{"type":"elsewhere"}') == ""
    assert problem_kind(b"") == ""


def test_what_is_shed_is_counted_by_lane_and_told_when_to_come_again() -> None:
    app = create_app(installation(), limits=Limits(waiting=1))

    async def both() -> list[Call]:
        calls = [Call("/v1/prices", b"{}") for _ in range(2)]
        await asyncio.gather(*(call.to(app) for call in calls))
        return calls

    # Without a media type a body is refused, in its turn.
    assert sorted(call.status for call in asyncio.run(both())) == [415, 503]
    told = _samples(asking(app)("GET", "/metrics").text)
    assert told["tallyplate_shed_total", frozenset({("lane", "prices")})] == 1


def test_no_figure_of_a_request_or_a_price_is_logged(logs: Logs) -> None:
    answer = asking(create_app(installation()))("POST", "/v1/prices", json=request())
    (line,) = logs
    said = {"request", "method", "route", "status", "milliseconds", "key", "card"}
    assert set(line) == {"event", "log_level", "at", *said}
    assert answer.json()["total"] not in repr(line)
