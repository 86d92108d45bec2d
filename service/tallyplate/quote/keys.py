"""Keys that quotes are signed with: a JSON Web Key Set (RFC 7517) of Ed25519 keys (RFC 8037).

One key is private and signs. The others are retired: their quotes go on being verified. A key's id is its thumbprint
(RFC 7638), so that an id cannot name another key.
"""

from collections.abc import Mapping
from datetime import date
from typing import Annotated, Final, Literal

from joserfc.errors import JoseError
from joserfc.jwk import OKPKey
from msgspec import UNSET, Meta, Struct, UnsetType
from msgspec.structs import replace

from tallyplate.contract import Fault, Refusal
from tallyplate.decoding import convert, length_hook
from tallyplate.inquiry import decode

CURVE: Final = "Ed25519"
MOST_KEYS: Final = 100
Octets = Annotated[str, Meta(pattern=r"\A[A-Za-z0-9_-]{43}\Z", title="32 octets in base64url")]


class Jwk(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A key; `d` is its private part, and `retired_on` the last day on which it may have signed."""

    kid: str
    kty: Literal["OKP"] = "OKP"
    crv: Literal["Ed25519"] = CURVE
    alg: Literal["Ed25519"] = CURVE
    use: Literal["sig"] = "sig"
    x: Octets
    retired_on: date | UnsetType = UNSET
    d: Octets | UnsetType = UNSET


class Jwks(Struct, frozen=True, forbid_unknown_fields=True):
    """A key set, as it stands in a file or is published."""

    keys: Annotated[tuple[Jwk, ...], Meta(max_length=MOST_KEYS)]


class Keys(Struct, frozen=True):
    """A key set ready for use. Its private key is nowhere but in the key itself, lest a log show it."""

    published: Jwks
    """The set as anyone may see it: public parts only."""
    by_id: Mapping[str, OKPKey]
    signing: str | None
    """The id of the key that signs; None where the set holds no private key."""


def read_keys(content: bytes) -> Keys:
    """A key set from its JSON; raises `Refusal` that names each key at fault."""
    written = convert(decode(content), Jwks, length_hook)
    faults = [fault for place, jwk in enumerate(written.keys) if (fault := _fault(place, jwk, written.keys))]
    if faults:
        raise Refusal(*faults)
    by_id = {jwk.kid: _imported(jwk) for jwk in written.keys}
    public = Jwks(tuple(replace(jwk, d=UNSET) for jwk in written.keys))
    return Keys(public, by_id, next((jwk.kid for jwk in written.keys if jwk.d), None))


def _fault(place: int, jwk: Jwk, others: tuple[Jwk, ...]) -> Fault | None:
    at = f"/keys/{place}"
    try:
        thumbprint = _imported(jwk).thumbprint()
    except (JoseError, ValueError):
        return Fault(at, "is no Ed25519 key; accepted: x and d of 32 octets each that belong together")
    if jwk.kid != thumbprint:
        return Fault(f"{at}/kid", f"is not the key's thumbprint; accepted: {thumbprint}")
    if any(jwk.kid == other.kid for other in others[:place]):
        return Fault(f"{at}/kid", "stands twice; accepted: each key once")
    if jwk.d and jwk.retired_on:
        return Fault(f"{at}/d", "is the private part of a retired key; accepted: its public part alone")
    if jwk.d and any(other.d for other in others[:place]):
        return Fault(f"{at}/d", "is a second private key; accepted: one, which signs")
    return None


def _imported(jwk: Jwk) -> OKPKey:
    public = OKPKey.import_key({"kty": jwk.kty, "crv": jwk.crv, "x": jwk.x})
    if not jwk.d:
        return public
    private = OKPKey.import_key({"kty": jwk.kty, "crv": jwk.crv, "x": jwk.x, "d": jwk.d})
    # The library takes the two parts as they come; a public part made anew from the private one tells.
    if private.private_key is None or OKPKey.import_key(private.private_key).thumbprint() != public.thumbprint():
        message = "the private part belongs to another public one"
        raise ValueError(message)
    return private


def rotated(keys: Jwks | None, new: OKPKey, today: date) -> Jwks:
    """A set with a new key that signs; the one before is retired, and its private part is gone."""
    said = new.as_dict(private=True)
    signing = Jwk(kid=new.thumbprint(), x=str(said["x"]), d=str(said["d"]))
    retired = (replace(old, d=UNSET, retired_on=today) if old.d else old for old in (keys.keys if keys else ()))
    return Jwks((signing, *retired))
