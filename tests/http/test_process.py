"""The service in a process of its own, behind a real socket."""

import json
import socket
from concurrent.futures import ThreadPoolExecutor
from urllib.parse import urlsplit

import httpx
import pytest

from tests.plates import MINIMAL, installation, request


def test_a_price_over_the_wire_is_the_librarys_own(address: str) -> None:
    body = json.dumps(request()).encode()
    answer = httpx.post(f"{address}/v1/prices", content=body, headers={"content-type": "application/json"})
    assert answer.status_code == 200
    assert answer.content == installation().price_json(body)


def test_head_has_the_headers_of_get_and_no_body(address: str) -> None:
    for path in ("/health/live", "/v1/families", "/docs"):
        head, get = httpx.head(f"{address}{path}"), httpx.get(f"{address}{path}")
        assert head.status_code == 200
        assert head.content == b""
        assert head.headers["content-length"] == get.headers["content-length"]


def test_a_chunked_body_is_measured_as_it_comes(address: str) -> None:
    headers = {"content-type": "application/json"}
    small = httpx.post(f"{address}/v1/prices", content=iter([json.dumps(MINIMAL).encode()]), headers=headers)
    assert small.status_code == 200
    large = httpx.post(f"{address}/v1/prices", content=iter([b" " * 10_000] * 10), headers=headers)
    assert large.status_code == 413


@pytest.mark.parametrize(
    "sent",
    [
        b"\0\0\0\0\r\n\r\n",
        b"GET / HTTP/9.9\r\n\r\n",
        b"POST /v1/prices HTTP/1.1\r\nhost: x\r\ncontent-length: nine\r\n\r\n",
        b"POST /v1/prices HTTP/1.1\r\nhost: x\r\ncontent-length: -1\r\n\r\n",
        b"POST /v1/prices HTTP/1.1\r\nhost: x\r\ncontent-length: 99\r\ncontent-type: application/json\r\n\r\n{",
    ],
)
def test_what_is_no_http_leaves_the_service_standing(address: str, sent: bytes) -> None:
    where = urlsplit(address)
    with socket.create_connection((where.hostname, where.port), timeout=5) as connection:
        connection.sendall(sent)
        connection.shutdown(socket.SHUT_WR)
        assert b" 500 " not in connection.recv(4_096)
    assert httpx.get(f"{address}/health/live").status_code == 200


def test_callers_at_the_same_time_each_get_their_own_price(address: str) -> None:
    def total(quantity: int) -> tuple[int, str]:
        body = request({"/quantity": quantity}, MINIMAL)
        answer = httpx.post(f"{address}/v1/prices", json=body).json()
        return answer["quantity"], answer["total"]

    quantities = list(range(1, 41))
    with ThreadPoolExecutor(8) as pool:
        answers = list(pool.map(total, quantities))
    expected = [installation().price(request({"/quantity": quantity}, MINIMAL)) for quantity in quantities]
    assert answers == [(answer.quantity, answer.total) for answer in expected]
