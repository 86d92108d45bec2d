"""Key sets: one key signs, retired ones verify, and a private key is nowhere but in its file."""

import json
from datetime import date
from typing import Any

import msgspec
import pytest
from joserfc.jwk import OKPKey

from tallyplate.contract import Refusal
from tallyplate.quote.keys import Jwks, read_keys, rotated
from tests.quote.quotes import KEYS, RFC_8037, RFC_KEY, RFC_THUMBPRINT

OTHER = OKPKey.generate_key("Ed25519")
JWK: dict[str, Any] = {**RFC_8037, "kid": RFC_THUMBPRINT, "use": "sig", "alg": "Ed25519"}


def _read(*keys: Any) -> Any:
    return read_keys(json.dumps({"keys": keys}).encode())


def _faults(*keys: Any) -> dict[str, str]:
    with pytest.raises(Refusal) as refused:
        _read(*keys)
    return {fault.pointer: fault.message for fault in refused.value.faults}


def test_a_key_is_known_by_its_thumbprint() -> None:
    # RFC 8037, appendix A.3, by the method of RFC 7638.
    assert rotated(None, RFC_KEY, date(2026, 1, 1)).keys[0].kid == RFC_THUMBPRINT
    assert _read(JWK).signing == RFC_THUMBPRINT


def test_what_is_published_holds_no_private_part_and_no_log_can_show_one() -> None:
    assert "d" not in json.loads(msgspec.json.encode(KEYS.published))["keys"][0]
    assert RFC_8037["d"] not in repr(KEYS)


def test_a_new_key_retires_the_one_before_and_drops_its_private_part() -> None:
    first = rotated(None, RFC_KEY, date(2026, 1, 1))
    second = rotated(first, OTHER, date(2026, 6, 30))
    third = rotated(second, OKPKey.generate_key("Ed25519"), date(2026, 9, 30))
    keys = json.loads(msgspec.json.encode(third))["keys"]
    assert ["d" in key for key in keys] == [True, False, False]
    assert [key.get("retired_on") for key in keys] == [None, "2026-09-30", "2026-06-30"]
    read = read_keys(msgspec.json.encode(third))
    assert read.signing == keys[0]["kid"]
    assert {*read.by_id} == {key["kid"] for key in keys}


def test_a_published_set_reads_as_a_set_that_signs_nothing() -> None:
    read = read_keys(msgspec.json.encode(KEYS.published))
    assert read.signing is None
    assert RFC_THUMBPRINT in read.by_id


@pytest.mark.parametrize(
    ("changes", "pointer", "says"),
    [
        ({"kty": "oct"}, "/keys/0/kty", "accepted: OKP"),
        ({"crv": "X25519"}, "/keys/0/crv", "accepted: Ed25519"),
        ({"alg": "HS256"}, "/keys/0/alg", "accepted: Ed25519"),
        ({"use": "enc"}, "/keys/0/use", "accepted: sig"),
        ({"kid": "mine"}, "/keys/0/kid", f"accepted: {RFC_THUMBPRINT}"),
        ({"x": "short"}, "/keys/0/x", "43 letters, digits"),
        ({"d": "A" * 43}, "/keys/0", "belong together"),
        ({"retired_on": "2026-01-01"}, "/keys/0/d", "accepted: its public part alone"),
        ({"x5u": "https://keys.example"}, "/keys/0/x5u", "unknown field"),
    ],
)
def test_a_key_that_is_not_as_it_should_be_is_named(changes: dict[str, str], pointer: str, says: str) -> None:
    faults = _faults({**JWK, **changes})
    assert says in faults[pointer]


def test_a_key_twice_and_a_second_private_key_are_refused() -> None:
    other: Any = msgspec.to_builtins(rotated(None, OTHER, date(2026, 1, 1)))["keys"][0]
    assert _faults(JWK, JWK) == {"/keys/1/kid": "stands twice; accepted: each key once"}
    assert "a second private key" in _faults(JWK, other)["/keys/1/d"]


@pytest.mark.parametrize("content", [b"", b"[]", b"{}", b'{"keys": 1}', b"\xff"])
def test_what_is_no_key_set_is_refused(content: bytes) -> None:
    with pytest.raises(Refusal):
        read_keys(content)


def test_an_empty_set_signs_and_verifies_nothing() -> None:
    read = read_keys(msgspec.json.encode(Jwks(())))
    assert (read.signing, {**read.by_id}) == (None, {})
