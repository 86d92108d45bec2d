"""A key set, quotes of the demonstration's plates, and tokens that somebody tampered with."""

import json
from base64 import urlsafe_b64decode, urlsafe_b64encode
from datetime import UTC, date, datetime
from typing import Any, Final

import msgspec
from joserfc.jwk import OKPKey

from tallyplate.installation import Form, Installation
from tallyplate.quote.content import Quote
from tallyplate.quote.keys import Jwks, Keys, read_keys, rotated
from tallyplate.quote.signing import signed
from tallyplate.quoting import Quoted, quote
from tests.plates import installation, request

RFC_8037: Final = {
    "kty": "OKP",
    "crv": "Ed25519",
    "d": "nWGxne_9WmC6hEr0kuwsxERJxWl7MmkZcDusAxyuf2A",
    "x": "11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo",
}
"""The key of RFC 8037, appendix A.1; known to everybody, and so for tests alone."""

RFC_THUMBPRINT: Final = "kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k"
"""Its thumbprint, by appendix A.3."""

RFC_KEY: Final = OKPKey.import_key(dict(RFC_8037))

ISSUED: Final = date(2026, 3, 2)
NOON: Final = datetime(2026, 3, 2, 18, tzinfo=UTC)
"""Midday of that day in the time zone of the demonstration's card."""

CUSTOMER: Final = {"name": "Brackwater Valve", "address": ["14 Mill Race", "Toledo, OH 43604"], "country": "US"}


def key_set(before: Jwks | None = None, key: OKPKey = RFC_KEY, today: date = ISSUED) -> Keys:
    return read_keys(msgspec.json.encode(rotated(before, key, today)))


KEYS: Final = key_set()


def asked(quote_says: dict[str, Any] | None = None, changes: dict[str, Any] | None = None) -> dict[str, Any]:
    """A request for a quote of the first example, with some fields of either set anew."""
    made = request(changes)
    del made["as_of"]
    return made | {"quote": {"customer": CUSTOMER, **(quote_says or {})}}


def made(
    quote_says: dict[str, Any] | None = None,
    changes: dict[str, Any] | None = None,
    here: Installation | None = None,
    form: Form = Form.INSIDE,
    today: date = ISSUED,
) -> Quoted:
    return quote(asked(quote_says, changes), here or installation(), form, today, may_settle=True)


def token(content: Quote | None = None, keys: Keys = KEYS) -> str:
    return signed(content or made().quote, keys)


def part(value: Any) -> str:
    """A part of a token."""
    content = value if isinstance(value, bytes) else json.dumps(value, separators=(",", ":")).encode()
    return urlsafe_b64encode(content).rstrip(b"=").decode()


def content_of(text: str) -> dict[str, Any]:
    payload = text.split(".")[1]
    return json.loads(urlsafe_b64decode(payload + "=" * (-len(payload) % 4)))
