"""Requests a second of one key and of one address."""

import asyncio
from typing import Any

import pytest
from msgspec import Struct

from tallyplate.http.app import create_app
from tallyplate.http.limits import Limits
from tallyplate.http.throttle import Buckets, Throttled, address, key
from tests.faults.behind import listening, run, talk
from tests.http.asgi import Call, done
from tests.plates import installation


class Clock:
    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


class Known(Struct):
    name: str


def _buckets(clock: Clock, most: int = 100) -> Buckets:
    return Buckets(2.0, 3, most, clock)


def test_a_burst_then_the_rate_and_never_more_than_a_burst_after_a_rest() -> None:
    clock = Clock()
    buckets = _buckets(clock)
    assert [buckets.wait("a") for _ in range(4)] == [0.0, 0.0, 0.0, 0.5]
    clock.now += 0.5
    assert [buckets.wait("a") for _ in range(2)] == [0.0, 0.5]
    clock.now += 86_400
    assert [buckets.wait("a") for _ in range(4)] == [0.0, 0.0, 0.0, 0.5]


def test_callers_do_not_use_up_each_others_tokens() -> None:
    buckets = _buckets(Clock())
    assert [buckets.wait("a") for _ in range(4)][-1] > 0
    assert buckets.wait("b") == 0.0


def test_of_many_callers_the_one_that_rested_longest_is_forgotten() -> None:
    buckets = _buckets(Clock(), most=2)
    for who in ("a", "a", "a", "b", "a", "c", "c", "c"):
        buckets.wait(who)
    assert buckets.wait("a") > 0
    assert buckets.wait("c") > 0
    assert len(buckets._held) == 2


async def _app(scope: Any, receive: Any, send: Any) -> None:
    await done(send)


def test_who_asks_too_often_is_told_when_to_ask_again() -> None:
    app = Throttled(_app, Buckets(0.25, 1, 10, Clock()), address, "address")
    assert asyncio.run(Call("/v1/prices").to(app)).status == 200
    refused = asyncio.run(Call("/v1/prices").to(app))
    assert (refused.status, refused.headers["retry-after"]) == (429, "4")
    assert b"accepted of one address: 0.25 requests a second" in refused.body
    assert asyncio.run(Call("/v1/prices", client="192.0.2.8").to(app)).status == 200
    assert asyncio.run(Call("/health/ready").to(app)).status == 200


def test_a_key_is_counted_wherever_it_calls_from() -> None:
    app = Throttled(_app, Buckets(1.0, 1, 10, Clock()), key, "key")
    calls = [("192.0.2.1", "erp"), ("192.0.2.2", "erp"), ("192.0.2.1", "web")]
    statuses = [
        asyncio.run(Call("/v1/prices", client=client, caller=Known(name)).to(app)).status for client, name in calls
    ]
    assert statuses == [200, 429, 200]
    # Without a key nobody is counted here.
    assert [asyncio.run(Call("/v1/prices").to(app)).status for _ in range(3)] == [200] * 3


@pytest.mark.parametrize(
    ("client", "expected"),
    [
        ("192.0.2.7", "192.0.2.7"),
        ("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::"),
        ("::ffff:192.0.2.7", "::ffff:192.0.2.7"),
        ("127.0.0.1", ""),
        ("::1", ""),
        ("unknown", "unknown"),
    ],
)
def test_an_address_is_what_its_owner_cannot_choose_freely(client: str, expected: str) -> None:
    assert address(Call("/", client=client).scope) == expected


@pytest.mark.parametrize(("trusted", "expected"), [(("127.0.0.0/8",), [200, 429, 200]), ((), [200, 200, 200])])
def test_who_a_proxy_calls_for_is_believed_of_trusted_proxies_alone(
    trusted: tuple[str, ...], expected: list[int]
) -> None:
    limits = Limits(trusted_proxies=trusted, address_rate=0.001, address_burst=1)
    head = "GET /v1/families HTTP/1.1\r\nhost: 127.0.0.1\r\nconnection: close\r\nx-forwarded-for: {}\r\n\r\n"

    async def going() -> list[int]:
        async with listening(create_app(installation(), limits=limits), limits) as port:
            # A caller's own header stands before the one that the proxy adds, and changes nothing.
            callers = ["192.0.2.1", "198.51.100.9, 192.0.2.1", "192.0.2.2"]
            return [int((await talk(port, head.format(caller).encode()))[9:12]) for caller in callers]

    assert run(going()) == expected
