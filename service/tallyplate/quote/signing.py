"""Signing a quote: a JSON Web Signature in its compact form (RFC 7515), with Ed25519 (RFC 8037, RFC 9864)."""

from base64 import urlsafe_b64encode
from typing import Final

import msgspec
from joserfc import jws
from joserfc.jwk import OKPKey

from tallyplate.quote.content import Quote
from tallyplate.quote.keys import CURVE, Keys

TYPE: Final = "tallyplate-quote+jwt"
"""What is signed, said outright so that no other token of the same keys passes for it (RFC 8725, section 3.11)."""

MOST: Final = 48 * 1024
"""Longest token in characters; a usual one takes six thousand."""


def header(kid: str) -> dict[str, str]:
    """The header of every quote signed with a key: there is one algorithm, and no token chooses it."""
    return {"alg": CURVE, "kid": kid, "typ": TYPE}


def written_header(kid: str) -> str:
    """The same as the first part of a token."""
    return urlsafe_b64encode(msgspec.json.encode(header(kid))).rstrip(b"=").decode()


def signed(quote: Quote, keys: Keys) -> str:
    """The quote as a token; the same quote under the same key gives the same token. Needs a key that signs."""
    if keys.signing is None:
        message = "the key set holds no private key"
        raise ValueError(message)
    return token(header(keys.signing), msgspec.json.encode(quote), keys.by_id[keys.signing])


def token(said: dict[str, str], payload: bytes, key: OKPKey) -> str:
    """A compact signature of some bytes under a header that names its algorithm."""
    return jws.serialize_compact(said, payload, key, algorithms=[said["alg"]])
