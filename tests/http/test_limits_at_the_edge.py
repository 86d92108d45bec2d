"""Each limit of work at its edge: what is just allowed is answered, and one more is refused with what is accepted."""

import json
from typing import Any

import pytest

from tallyplate.http.app import create_app
from tallyplate.http.limits import Limits
from tests.http.problem import problem
from tests.http.talking import NDJSON
from tests.plates import MINIMAL, installation, request
from tests.serving import Ask, asking

HEADERS = {"content-type": "application/json"}


def _ask(**limits: Any) -> Ask:
    return asking(create_app(installation(), limits=Limits(**limits)))


def test_a_body_of_just_the_most_bytes_is_read() -> None:
    body = json.dumps(MINIMAL).encode().ljust(400)
    ask = _ask(body_bytes=400)
    assert ask("POST", "/v1/prices", content=body, headers=HEADERS).status_code == 200
    refused = ask("POST", "/v1/prices", content=body + b" ", headers=HEADERS)
    assert problem(refused, 413, "too-large") == {}
    assert refused.json()["detail"] == "accepted: at most 400 bytes"


def test_a_line_of_a_batch_of_just_the_most_bytes_and_depth_is_priced() -> None:
    line = json.dumps(MINIMAL).encode().ljust(400)
    deep = b"[" * 9 + b"]" * 9
    ask = _ask(line_bytes=400, json_depth=8)
    told = ask(
        "POST", "/v1/prices/batch", content=b"\n".join([line, line + b" ", deep]), headers={"content-type": NDJSON}
    )
    priced, long, nested = map(json.loads, told.text.splitlines())
    assert "total" in priced
    assert (long["line"], long["detail"]) == (2, "accepted: at most 400 bytes a line")
    assert (nested["line"], nested["status"]) == (3, 400)
    assert "accepted: at most 8 objects and lists" in nested["detail"]


def test_a_search_over_just_the_most_combinations_is_made() -> None:
    free = [{"pointer": "/plate/position_tolerance", "values": ["0.02 mm", "0.04 mm", "0.06 mm"]}]
    body = {**request({"/budget": "9000.00 USD"}), "may_change": free}
    told = _ask(combinations=4)("POST", "/v1/alternatives", json=body)
    assert told.status_code == 200, told.text
    errors = problem(_ask(combinations=3)("POST", "/v1/alternatives", json=body), 422, "invalid-request")
    assert errors["/may_change"].startswith("4 combinations")
    assert errors["/may_change"].endswith("accepted: at most 3")


@pytest.mark.parametrize("path", ["/v1/drawings", "/v1/hole-schedules"])
def test_a_plate_of_just_the_most_holes_is_drawn_and_listed(path: str) -> None:
    build = installation().build(MINIMAL).build
    holes = sum(group.count for group in build.holes)
    assert _ask(document_holes=holes)("POST", path, json=MINIMAL).status_code == 200
    errors = problem(_ask(document_holes=holes - 1)("POST", path, json=MINIMAL), 422, "invalid-request")
    assert errors["/plate/pattern"] == f"{holes} holes; accepted: a plate of at most {holes - 1} holes"


def test_a_set_of_just_the_most_plates_is_priced() -> None:
    ask, plate = _ask(plates=2), {"plate": MINIMAL["plate"]}
    assert ask("POST", "/v1/sets", json={"plates": [plate] * 2}).status_code == 200
    refused = ask("POST", "/v1/sets", json={"plates": [plate] * 3})
    assert problem(refused, 422, "invalid-request") == {"/plates": "3 plates; accepted: at most 2"}


def test_a_portfolio_of_just_the_most_orders_is_compared() -> None:
    card = {"id": "draft", "inherits": next(iter(installation().cards)).id, "effective_from": "2026-06-01"}
    for count, status in ((2, 200), (3, 422)):
        body = {"orders": [MINIMAL] * count, "draft_card": card}
        told = _ask(orders=2)("POST", "/v1/impacts", json=body)
        assert told.status_code == status, told.text
