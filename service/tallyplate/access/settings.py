"""The access file: who may call, as it stands on disk.

It holds no secret: keys are kept as SHA-256 digests. A key is 256 random bits, which no list of guesses reaches, so a
slow digest would protect nothing and cost each request its time.
"""

import re
from datetime import date
from typing import Annotated, Final, Literal

from msgspec import UNSET, Meta, Struct, UnsetType

from tallyplate.access.scopes import Scope
from tallyplate.contract import Fault, Refusal
from tallyplate.decoding import convert, length_hook
from tallyplate.inquiry import decode

MOST: Final = 10_000
"""Most keys of a file."""

Name = Annotated[
    str, Meta(pattern=r"\A[a-z0-9][a-z0-9._-]{0,62}\Z", title="lower-case letters, digits, dots and hyphens")
]
Digest = Annotated[str, Meta(pattern=r"\A[0-9a-f]{64}\Z", title="a SHA-256 digest in hexadecimal")]
Scopes = Annotated[tuple[Scope, ...], Meta(min_length=1)]

Algorithm = Literal["Ed25519", "ES256", "ES384", "ES512", "PS256", "PS384", "PS512", "RS256", "RS384", "RS512"]
"""Signatures with a public key only: a shared secret would let whoever verifies also sign."""

_LOOPBACK = re.compile(r"http://(127\.0\.0\.1|\[::1\]|localhost)[:/]")


class KeyEntry(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """A key: `sha256` of its text, and the last day (UTC) on which it holds."""

    id: Name
    sha256: Digest
    scopes: Scopes
    expires_on: date | UnsetType = UNSET


class Issuer(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True, kw_only=True):
    """An identity provider whose tokens (RFC 7519) are taken.

    Its keys (RFC 7517) come from a file beside this one or from a URL. A token has the scopes that its claim names,
    each after `prefix`, and of these only those listed here.
    """

    issuer: Annotated[str, Meta(min_length=1, max_length=300)]
    audience: Annotated[str, Meta(min_length=1, max_length=300)]
    algorithms: Annotated[tuple[Algorithm, ...], Meta(min_length=1)]
    scopes: Scopes
    keys_file: str | UnsetType = UNSET
    keys_url: str | UnsetType = UNSET
    claim: str = "scope"
    prefix: str = "tallyplate:"


class AccessFile(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """What a file says. `anonymous` is what callers without credentials may do."""

    keys: Annotated[tuple[KeyEntry, ...], Meta(max_length=MOST)] = ()
    issuers: Annotated[tuple[Issuer, ...], Meta(max_length=20)] = ()
    anonymous: tuple[Scope, ...] = ()


def read_access(content: bytes) -> AccessFile:
    """An access file from its JSON; raises `Refusal` that names each entry at fault."""
    written = convert(decode(content), AccessFile, length_hook)
    faults = [
        *_twice("key", "id", [key.id for key in written.keys]),
        *_twice("key", "sha256", [key.sha256 for key in written.keys]),
        *_twice("issuer", "issuer", [issuer.issuer for issuer in written.issuers]),
    ]
    for place, issuer in enumerate(written.issuers):
        at = f"/issuers/{place}"
        if (issuer.keys_file is UNSET) == (issuer.keys_url is UNSET):
            faults.append(Fault(at, "accepted: either keys_file or keys_url"))
        if issuer.keys_url and not (issuer.keys_url.startswith("https://") or _LOOPBACK.match(issuer.keys_url)):
            faults.append(
                Fault(f"{at}/keys_url", "accepted: an https URL, since whoever gives the keys lets people in")
            )
    if not (written.keys or written.issuers):
        faults.append(
            Fault("", "names nobody; accepted: at least one key, which `tallyplate key new` makes, or issuer")
        )
    if faults:
        raise Refusal(*faults)
    return written


def _twice(what: str, field: str, values: list[str]) -> list[Fault]:
    seen: set[str] = set()
    faults = []
    for place, value in enumerate(values):
        if value in seen:
            faults.append(Fault(f"/{what}s/{place}/{field}", f"stands twice; accepted: each {what} once"))
        seen.add(value)
    return faults
