"""What whoever runs the service looks at: health, metrics, logs and request ids."""

from datetime import date
from pathlib import Path
from typing import Any

import pytest
from prometheus_client.parser import text_string_to_metric_families

from tallyplate.http.app import create_app
from tallyplate.installation import compose
from tests.http.problem import problem
from tests.plates import installation, request
from tests.rates.folder import write_data
from tests.serving import Ask, Logs, asking

TRACE = "0af7651916cd43dd8448eb211c80319c"


def test_alive_means_that_the_process_answers(ask: Ask) -> None:
    response = ask("GET", "/health/live")
    assert (response.status_code, response.json()) == (200, {"status": "alive"})


def test_ready_names_the_versions_in_force(ask: Ask) -> None:
    response = ask("GET", "/health/ready")
    assert response.status_code == 200
    body = response.json()
    assert body["status"] == "ready"
    assert body["rate_card"]["digest"] in {card.digest for card in installation().cards}
    assert body["shop_data"]["digest"] in {shop.digest for shop in installation().shops}


def test_a_service_whose_cards_have_not_begun_is_alive_but_not_ready(tmp_path: Path) -> None:
    write_data(tmp_path, card={"effective_from": date(2190, 1, 1)})
    here = installation()
    ask = asking(create_app(compose(here.families, here.modules, tmp_path)))
    assert ask("GET", "/health/live").status_code == 200
    assert ask("GET", "/health/ready").status_code == 503


def _samples(ask: Ask) -> dict[tuple[str, frozenset[tuple[str, str]]], float]:
    response = ask("GET", "/metrics")
    assert response.headers["content-type"].startswith("text/plain; version=0.0.4")
    families = list(text_string_to_metric_families(response.text))
    return {(s.name, frozenset(s.labels.items())): s.value for family in families for s in family.samples}


def _counted(ask: Ask, route: str, status: int) -> float:
    labels = frozenset({"route": route, "status": str(status)}.items())
    return _samples(ask).get(("tallyplate_answers_total", labels), 0.0)


@pytest.mark.parametrize(
    ("method", "path", "route", "status"),
    [
        ("POST", "/v1/prices", "/v1/prices", 200),
        ("GET", "/v1/prices", "/v1/prices", 405),
        ("GET", "/nowhere", "other", 404),
        ("GET", "/problems/invalid-request", "/problems/*", 200),
        ("GET", "/problems/unheard-of", "/problems/*", 404),
    ],
)
def test_every_answer_is_counted_under_its_route_and_status(
    ask: Ask, method: str, path: str, route: str, status: int
) -> None:
    before = _counted(ask, route, status)
    assert ask(method, path, json=request() if method == "POST" else None).status_code == status
    assert _counted(ask, route, status) == before + 1


def test_strangers_addresses_make_no_metrics_of_their_own(ask: Ask) -> None:
    strange = ("/strange/address", "/problems/unheard-of", "/docs/assets/none.js", "/docs/own/none.js")
    for path in strange:
        ask("GET", path)
    known = set(_samples(ask))
    for path in strange:
        for number in range(20):
            ask("GET", f"{path}{number}")
    assert set(_samples(ask)) == known


def test_an_answer_carries_the_callers_trace_id_or_one_of_its_own(ask: Ask) -> None:
    theirs = ask("GET", "/health/live", headers={"traceparent": f"00-{TRACE}-b7ad6b7169203331-01"})
    assert theirs.headers["x-request-id"] == TRACE
    for odd in ("", "nonsense", f"00-{TRACE.upper()}-b7ad6b7169203331-01", f"00-{TRACE}-b7ad6b7169203331-01\u00e4"):
        ours = ask("GET", "/health/live", headers={"traceparent": odd.encode()}).headers["x-request-id"]
        assert len(ours) == len(TRACE)
        assert ours != TRACE


def test_a_line_is_logged_for_each_answer_and_tells_nothing_of_the_plate(ask: Ask, logs: Logs) -> None:
    response = ask("POST", "/v1/prices?customer=secret", json=request())
    (line,) = logs
    assert line["event"] == "answered"
    assert line["request"] == response.headers["x-request-id"]
    assert (line["method"], line["route"], line["status"]) == ("POST", "/v1/prices", 200)
    told = repr(line)
    for secret in ("700 mm", "anodized", response.json()["total"], "secret"):
        assert secret not in told


def test_a_refusal_is_logged_as_an_answer_and_not_as_a_failure(ask: Ask, logs: Logs) -> None:
    problem(ask("POST", "/v1/prices", json={}), 422, "invalid-request")
    assert [(line["log_level"], line["status"]) for line in logs] == [("info", 422)]


def test_nothing_that_a_caller_sends_ends_the_service(ask: Ask) -> None:
    headers: dict[str, Any] = {"content-type": "application/json", "x-odd": b"\xff\xfe"}
    for path in ("/v1/prices", "/v1/prices?" + "a=b&" * 2_000, "/v1/prices#x"):
        assert ask("POST", path, content=b"{", headers=headers).status_code == 400
    assert ask("GET", "/health/live").status_code == 200
