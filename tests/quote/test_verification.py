"""Verdicts: what was tampered with is not genuine, and what is merely old has expired."""

import hmac
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from hypothesis import given
from hypothesis import strategies as st
from joserfc.jwk import OKPKey

from tallyplate.quote.keys import Keys, rotated
from tallyplate.quote.signing import MOST, header
from tallyplate.quote.signing import token as signed_bytes
from tallyplate.quote.verification import State, Verdict, verified
from tests.quote.quotes import (
    ISSUED,
    KEYS,
    NOON,
    RFC_8037,
    RFC_KEY,
    RFC_THUMBPRINT,
    content_of,
    key_set,
    made,
    part,
    token,
)

TOKEN = token()
HEAD, PAYLOAD, SIGNATURE = TOKEN.split(".")
NUMBER = "Q-WE42-NG5K-JGVJ"
STRANGER = OKPKey.generate_key("Ed25519")


def _verdict(text: str, keys: Keys = KEYS, now: datetime = NOON) -> Verdict:
    return verified(text, keys, now)


def _refused(text: str, says: str, keys: Keys = KEYS) -> None:
    found = _verdict(text, keys)
    assert (found.state, found.genuine, found.quote) == (State.NOT_GENUINE, False, None)
    assert says in found.reason


def test_a_quote_as_it_was_signed_is_genuine_and_valid() -> None:
    found = _verdict(TOKEN)
    assert (found.state, found.genuine, found.key_id) == (State.VALID, True, RFC_THUMBPRINT)
    assert found.reason == "is valid until 2026-04-01"
    assert found.quote == made().quote


def test_a_changed_cent_is_noticed() -> None:
    said = content_of(TOKEN)
    for name in ("total", "unit_price", "payable"):
        changed = {**said, name: f"{said[name][:-1]}{(int(said[name][-1]) + 1) % 10}"}
        _refused(f"{HEAD}.{part(changed)}.{SIGNATURE}", "something was changed after it was signed")


@given(st.integers(0, len(TOKEN) - 1), st.sampled_from("Aa0-_.="))
def test_a_token_with_any_letter_changed_is_not_genuine(place: int, letter: str) -> None:
    changed = TOKEN[:place] + letter + TOKEN[place + 1 :]
    assert _verdict(changed).genuine is (changed == TOKEN)


def test_a_stripped_signature_is_noticed() -> None:
    _refused(f"{HEAD}.{PAYLOAD}.", "bears no signature")
    _refused(f"{HEAD}.{PAYLOAD}", "is no signed quote")
    _refused(f"{part({'alg': 'none'})}.{PAYLOAD}.", "bears no signature")


@pytest.mark.parametrize("algorithm", ["none", "HS256", "EdDSA", "ES256", "RS256", "Ed448", "ed25519"])
def test_a_token_cannot_choose_its_algorithm(algorithm: str) -> None:
    chosen = part({**header(RFC_THUMBPRINT), "alg": algorithm})
    _refused(f"{chosen}.{PAYLOAD}.{SIGNATURE}", f"says it is signed with {algorithm!r}; accepted: Ed25519 alone")


@pytest.mark.parametrize("encoding", ["raw", "pem", "text"])
def test_a_public_key_taken_for_a_shared_secret_signs_nothing(encoding: str) -> None:
    # The confusion of RFC 8725, section 2.1: an HMAC keyed with what everybody knows.
    public = RFC_KEY.public_key
    secret = {
        "raw": public.public_bytes(Encoding.Raw, PublicFormat.Raw),
        "pem": public.public_bytes(Encoding.PEM, PublicFormat.SubjectPublicKeyInfo),
        "text": RFC_8037["x"].encode(),
    }[encoding]
    for said in ({**header(RFC_THUMBPRINT), "alg": "HS512"}, header(RFC_THUMBPRINT)):
        signing_input = f"{part(said)}.{PAYLOAD}"
        mac = part(hmac.digest(secret, signing_input.encode(), "sha512"))
        assert _verdict(f"{signing_input}.{mac}").state is State.NOT_GENUINE


def test_a_foreign_key_is_noticed() -> None:
    _refused(token(keys=key_set(key=STRANGER)), "which is not in the key set")
    posing = signed_bytes(header(RFC_THUMBPRINT), b"{}", STRANGER)
    _refused(posing, "the signature is not that of its content")


@pytest.mark.parametrize("extra", [{"jwk": {}}, {"crit": ["exp"]}, {"jku": "https://keys.example"}, {"b64": False}])
def test_a_header_that_says_more_than_ours_is_refused(extra: dict[str, Any]) -> None:
    longer = part({**header(RFC_THUMBPRINT), **extra})
    _refused(f"{longer}.{PAYLOAD}.{SIGNATURE}", "has a header that no quote of this service has")


def test_another_kind_of_token_of_the_same_key_is_no_quote() -> None:
    other = signed_bytes({**header(RFC_THUMBPRINT), "typ": "JWT"}, b"{}", RFC_KEY)
    _refused(other, "is of the type 'JWT'; accepted: tallyplate-quote+jwt")
    _refused(signed_bytes(header(RFC_THUMBPRINT), b'{"total":"1.00"}', RFC_KEY), "no quote that can be read here")
    _refused(signed_bytes(header(RFC_THUMBPRINT), b"\xff", RFC_KEY), "no quote that can be read here")


@pytest.mark.parametrize(
    "text",
    ["", "...", "a.b.c", f" {TOKEN}", f"{TOKEN}\n", f"{TOKEN}=", TOKEN + ".x", "é" * 90, f"{HEAD}.{PAYLOAD}.{'*' * 9}"],
)
def test_what_is_no_token_is_refused(text: str) -> None:
    _refused(text, "is no signed quote; accepted:")


def test_a_token_too_long_is_refused_before_it_is_read() -> None:
    _refused("a" * (MOST + 1), f"has {MOST + 1} characters; accepted: at most {MOST}")


def test_a_signature_has_one_spelling() -> None:
    # Four of the last letter's six bits count for nothing, so that a lax reader takes sixteen spellings.
    spelled = {letter for letter in "AQgwBCDEabcd019-_" if _verdict(TOKEN[:-1] + letter).genuine}
    assert spelled == {TOKEN[-1]}


@pytest.mark.parametrize(
    ("moment", "state"),
    [
        # In Chicago the day of issue begins at 06:00 UTC, and the day after the last, in summer, at 05:00 UTC.
        (datetime(2026, 3, 2, 5, 54, tzinfo=UTC), State.NOT_YET_VALID),
        (datetime(2026, 3, 2, 5, 56, tzinfo=UTC), State.VALID),
        (datetime(2026, 4, 2, 4, 59, tzinfo=UTC), State.VALID),
        (datetime(2026, 4, 2, 5, 4, tzinfo=UTC), State.VALID),
        (datetime(2026, 4, 2, 5, 6, tzinfo=UTC), State.EXPIRED),
        (datetime(2036, 4, 2, tzinfo=UTC), State.EXPIRED),
        (datetime(1999, 1, 1, tzinfo=UTC), State.NOT_YET_VALID),
    ],
)
def test_a_clock_may_be_out_by_minutes_and_no_more(moment: datetime, state: State) -> None:
    assert _verdict(TOKEN, now=moment).state is state


def test_an_expired_quote_is_genuine_and_says_until_when_it_was_valid() -> None:
    found = _verdict(TOKEN, now=NOON + timedelta(days=365))
    assert (found.state, found.genuine, found.reason) == (State.EXPIRED, True, "was valid until 2026-04-01")
    assert found.quote == made().quote


def test_a_quote_verifies_under_a_retired_key_but_not_one_dated_after_it_was_retired() -> None:
    first = rotated(None, RFC_KEY, date(2026, 1, 1))
    retired_then = key_set(first, STRANGER, ISSUED)
    assert _verdict(TOKEN, retired_then).state is State.VALID
    assert _verdict(token(keys=retired_then), retired_then).state is State.VALID
    before = key_set(first, STRANGER, date(2026, 3, 1))
    _refused(TOKEN, "is dated 2026-03-02, after its key was retired on 2026-03-01", before)


def test_a_quote_signed_when_the_format_was_new_is_read_for_ever() -> None:
    # Kept as it was signed. It may never be written again: what it takes to read it, later code must keep.
    kept = (Path(__file__).parent / "kept" / "format-1.jws").read_text("ascii").strip()
    found = _verdict(kept, now=datetime(2036, 1, 1, tzinfo=UTC))
    assert (found.state, found.reason) == (State.EXPIRED, "was valid until 2026-04-01")
    assert found.quote
    assert (found.quote.number, found.quote.payable, found.quote.reference) == (NUMBER, "4630.50", "RFQ 2026-118")
    assert [line.item for line in found.quote.adjustments] == ["Frame agreement 2026", "Price settled by R. Pell"]
    assert found.quote.request["plate"]["pattern"]["pitch"] == "35 mm"


def test_a_set_without_keys_verifies_nothing() -> None:
    _refused(TOKEN, "which is not in the key set", Keys(KEYS.published, {}, None))
