"""Tokens of identity providers (RFC 7519, RFC 9068 where it says more), verified against the providers' key sets.

Whatever is wrong with a token, the caller is nobody and learns no reason; the reason is for the log.
"""

import base64
import binascii
import math
from collections.abc import Mapping
from typing import Any, Final

import msgspec
from joserfc import jwt
from joserfc.errors import JoseError
from joserfc.jwk import KeySet
from joserfc.jws import JWSRegistry
from msgspec import Struct

from tallyplate.access.scopes import Caller, Scope
from tallyplate.access.settings import Issuer

MOST: Final = 8192
"""Longest token in characters."""

LEEWAY: Final = 60
"""Seconds by which the clocks of provider and service may differ."""

LONGEST_NAME: Final = 100
"""Characters of a subject that are kept, for logs."""


class Bad(Exception):  # noqa: N818 - said of a token
    """A token that is not taken, with the reason for the log."""


class Head(Struct, frozen=True):
    """What of a token's header chooses a key."""

    alg: str
    kid: str


def parts(token: str) -> tuple[Head, str]:
    """The header of a token that is not yet verified, and who it says has issued it; raises `Bad`."""
    pieces = token.split(".")
    if len(token) > MOST or len(pieces) != 3:  # noqa: PLR2004 - header, claims, signature
        raise Bad("not a signed token")
    try:
        head = msgspec.json.decode(_octets(pieces[0]), type=Head)
        claims: Any = msgspec.json.decode(_octets(pieces[1]))
        return head, str(claims["iss"])
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError, binascii.Error, ValueError, TypeError, KeyError):
        raise Bad("header or claims cannot be read") from None


def verified(token: str, head: Head, issuer: Issuer, keys: KeySet, now: float) -> Caller:
    """Who a token speaks for; raises `Bad`. Only the algorithms that were pinned are tried."""
    if head.alg not in issuer.algorithms:
        raise Bad("an algorithm that is not pinned")
    try:
        key = keys.get_by_kid(head.kid)
        if key.get("use", "sig") != "sig":
            raise Bad("a key that is not for signatures")
        registry = JWSRegistry(algorithms=[head.alg])
        found = jwt.decode(token, key, algorithms=[head.alg], registry=registry)
    except (JoseError, ValueError, TypeError) as error:
        raise Bad(f"its signature does not hold: {type(error).__name__}") from None
    return _caller(found.claims, issuer, now)


def _caller(claims: Mapping[str, Any], issuer: Issuer, now: float) -> Caller:
    audience = claims.get("aud")
    if claims.get("iss") != issuer.issuer:
        raise Bad("another issuer")
    if issuer.audience not in (audience if isinstance(audience, list) else [audience]):
        raise Bad("for another audience")
    expires: Any = claims.get("exp")
    begins: Any = claims.get("nbf", 0)
    if not _moment(expires) or not _moment(begins):
        raise Bad("without a time at which it expires")
    if now > expires + LEEWAY or now < begins - LEEWAY:
        raise Bad("expired, or not valid yet")
    said = claims.get(issuer.claim, ())
    named = said.split() if isinstance(said, str) else said if isinstance(said, list) else ()
    scopes = {scope for scope in issuer.scopes if f"{issuer.prefix}{scope}" in named}
    return Caller(str(claims.get("sub", ""))[:LONGEST_NAME] or issuer.issuer, frozenset(map(Scope, scopes)))


def _moment(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)


def _octets(text: str) -> bytes:
    return base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))
