"""The door: under overload a request is refused from its head alone, on a connection that stays usable."""

import asyncio
import json

from tallyplate.http.admission import Lanes
from tallyplate.http.app import create_app
from tallyplate.http.limits import Limits
from tallyplate.http.refusing import Answer
from tests.faults.behind import echo, listening, run, talk
from tests.http.asgi import Call
from tests.plates import installation

QUICK = Limits(body_seconds=0.2, head_seconds=0.2, keep_alive_seconds=0.2, waiting=1)
POST = b"POST /v1/prices?x=1 HTTP/1.1\r\nhost: x\r\ncontent-length: 4\r\n\r\n"


class Door:
    """Turns away the first requests for prices, and notes what it was asked."""

    def __init__(self, most: int) -> None:
        self.most, self.asked = most, list[tuple[str, str]]()

    def __call__(self, method: str, path: str, _: object) -> Answer | None:
        self.asked.append((method, path))
        if len(self.asked) > self.most:
            return None
        return 503, [(b"content-length", b"2"), (b"retry-after", b"1")], b"no"


def _said(door: Door, *pieces: bytes) -> list[bytes]:
    async def going() -> bytes:
        async with listening(echo, QUICK, door=door) as port:
            return await talk(port, *pieces, pause=0.02)

    return [b"HTTP/1.1 " + one for one in run(going()).split(b"HTTP/1.1 ")[1:]]


def test_a_request_is_turned_away_and_the_next_on_its_connection_is_answered() -> None:
    door = Door(2)
    first, second, third = _said(door, POST + b"abcd", POST + b"abcd", POST + b"abcd")
    assert first == second
    assert first.startswith(b"HTTP/1.1 503 ")
    assert first.endswith(b"\r\n\r\nno")
    assert b"retry-after: 1\r\n" in first
    assert third.endswith(b"       4")
    assert door.asked == [("POST", "/v1/prices")] * 3


def test_requests_that_come_at_once_are_answered_in_their_order() -> None:
    door = Door(0)
    answers = _said(door, (POST + b"abcd") * 3)
    assert [answer[-8:] for answer in answers] == [b"       4"] * 3
    # While one is being answered, the next waits behind it rather than overtake it at the door.
    assert len(door.asked) == 1


def test_a_body_that_follows_late_is_thrown_away_and_waited_for_no_longer_than_any() -> None:
    first, second = _said(Door(1), POST, b"ab", b"cd", POST + b"abcd")
    assert first.endswith(b"no")
    assert second.endswith(b"       4")
    assert len(_said(Door(1), POST, *[b""] * 20)) == 1


def test_what_costs_little_and_who_will_not_stay_go_through() -> None:
    door = Door(9)
    for head in (
        b"GET /v1/families HTTP/1.1\r\nhost: x\r\nconnection: close\r\n\r\n",
        POST.replace(b"host: x", b"host: x\r\nconnection: close") + b"abcd",
        b"POST /v1/prices HTTP/1.0\r\ncontent-length: 0\r\n\r\n",
    ):
        (answer,) = _said(door, head)
        assert answer.startswith(b"HTTP/1.1 200 ")
    assert door.asked == []


def _fill(lanes: Lanes | None, path: str) -> None:
    lane = lanes.of(path) if lanes else None
    assert lane
    lane.waiting = lane.most


def test_the_service_turns_away_what_waits_too_long_and_counts_it() -> None:
    app = create_app(installation(), limits=QUICK)
    assert app.turned_away("POST", "/v1/prices", []) is None
    _fill(app.lanes, "/v1/prices")
    told = app.turned_away("POST", "/v1/prices", [(b"traceparent", b"00-" + b"a" * 32 + b"-" + b"b" * 16 + b"-01")])
    assert told
    status, headers, body = told
    assert status == 503
    assert dict(headers)[b"x-request-id"] == b"a" * 32
    assert dict(headers)[b"retry-after"] == b"1"
    assert json.loads(body)["type"] == "/problems/overloaded"
    assert app.turned_away("POST", "/v1/alternatives", []) is None
    assert app.turned_away("POST", "/health/live", []) is None

    metrics = app.metrics.text().decode()
    assert 'tallyplate_shed_total{lane="prices"} 1.0' in metrics
    assert 'tallyplate_answers_total{route="/v1/prices",status="503"} 1.0' in metrics
    assert 'tallyplate_problems_total{kind="overloaded"} 1.0' in metrics


def test_both_ways_say_the_same() -> None:
    app = create_app(installation(), limits=QUICK)
    _fill(app.lanes, "/v1/prices")
    at_the_door = app.turned_away("POST", "/v1/prices", [])
    call = asyncio.run(Call("/v1/prices", b"{}").to(app))
    assert at_the_door
    status, headers, body = at_the_door
    assert (call.status, call.body) == (status, body)
    assert {name for name, _ in headers} == {name.encode() for name in call.headers}
