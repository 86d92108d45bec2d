"""Whether a quote is genuine and still holds: a pure function of the token, the keys, and the moment it is asked.

Cheap looks come first: size and alphabet, then the header as bytes against those that these keys write, so that a token
chooses neither algorithm nor key. Only then the signature, and only of what is signed are dates looked at.
"""

import re
from base64 import urlsafe_b64decode
from datetime import UTC, datetime, timedelta
from enum import Enum
from typing import Any, Final

import msgspec
from joserfc import jws
from joserfc.errors import JoseError
from msgspec import Struct

from tallyplate.quote.content import Quote
from tallyplate.quote.keys import CURVE, Keys
from tallyplate.quote.signing import MOST, TYPE, written_header

LEEWAY: Final = timedelta(minutes=5)
"""How far two clocks may differ; common practice, no source."""

_TOKEN = re.compile(r"([A-Za-z0-9_-]+)\.([A-Za-z0-9_-]+)\.([A-Za-z0-9_-]{86})\Z")
"""A compact JWS with 64 octets of signature."""


class State(Enum):
    """How a quote stands at a moment."""

    VALID = "valid"
    EXPIRED = "expired"
    NOT_YET_VALID = "not-yet-valid"
    NOT_GENUINE = "not-genuine"


class Verdict(Struct, frozen=True):
    """What is known of a token, and why; `quote` is there where it is genuine."""

    state: State
    reason: str
    key_id: str = ""
    quote: Quote | None = None

    @property
    def genuine(self) -> bool:
        """Whether one of the keys signed it, to the letter."""
        return self.state is not State.NOT_GENUINE


def verified(token: str, keys: Keys, now: datetime) -> Verdict:
    """The verdict on a token; `now` bears its time zone."""
    parts = _TOKEN.match(token) if len(token) <= MOST else None
    if parts is None:
        return Verdict(State.NOT_GENUINE, _misshapen(token))
    kid = next((kid for kid in keys.by_id if written_header(kid) == parts[1]), None)
    if kid is None:
        return Verdict(State.NOT_GENUINE, _strange(parts[1], keys))
    try:
        payload = jws.deserialize_compact(token, keys.by_id[kid], algorithms=[CURVE]).payload
    except JoseError:
        reason = "the signature is not that of its content: something was changed after it was signed"
        return Verdict(State.NOT_GENUINE, reason, kid)
    try:
        quote = msgspec.json.decode(payload, type=Quote)
    except msgspec.DecodeError as error:
        return Verdict(State.NOT_GENUINE, f"is signed, but is no quote that can be read here: {error}", kid)
    jwk = next(jwk for jwk in keys.published.keys if jwk.kid == kid)
    if jwk.retired_on and quote.issued_on > jwk.retired_on:
        reason = f"is dated {quote.issued_on}, after its key was retired on {jwk.retired_on}"
        return Verdict(State.NOT_GENUINE, reason, kid)
    return Verdict(*_dated(quote, now), kid, quote)


def _dated(quote: Quote, now: datetime) -> tuple[State, str]:
    begins, ends = (datetime.fromtimestamp(moment, UTC) for moment in (quote.nbf, quote.exp))
    if now + LEEWAY < begins:
        return (
            State.NOT_YET_VALID,
            f"is issued on {quote.issued_on}, and it is {now.astimezone(UTC):%Y-%m-%d %H:%M} UTC",
        )
    if now - LEEWAY >= ends:
        return State.EXPIRED, f"was valid until {quote.valid_until}"
    return State.VALID, f"is valid until {quote.valid_until}"


def _misshapen(token: str) -> str:
    if len(token) > MOST:
        return f"has {len(token)} characters; accepted: at most {MOST}"
    if token.count(".") == 2 and token.endswith("."):  # noqa: PLR2004 - header, content, signature
        return "bears no signature"
    return "is no signed quote; accepted: header, content and signature in base64url, parted by dots"


def _strange(written: str, keys: Keys) -> str:
    """Why a header is none of ours. It is read for this sentence alone."""
    try:
        said = msgspec.json.decode(urlsafe_b64decode(written + "=" * (-len(written) % 4)), type=dict[str, Any])
    except ValueError:
        return "has a header that cannot be read"
    if said.get("alg") != CURVE:
        return f"says it is signed with {str(said.get('alg'))[:40]!r}; accepted: {CURVE} alone"
    if said.get("typ") != TYPE:
        return f"is of the type {str(said.get('typ'))[:40]!r}; accepted: {TYPE}"
    if said.get("kid") not in keys.by_id:
        return f"is signed with the key {str(said.get('kid'))[:60]!r}, which is not in the key set"
    return "has a header that no quote of this service has"
