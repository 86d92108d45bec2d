"""Keys: made at random, kept as digests, found by digest."""

import hashlib
import secrets
from collections.abc import Mapping
from datetime import date
from hmac import compare_digest
from typing import Final

from msgspec import UNSET

from tallyplate.access.scopes import Caller, Scope
from tallyplate.access.settings import KeyEntry

MARK: Final = "tpk_"
"""What a key begins with, so that people and scanners for lost secrets know one."""

LENGTH: Final = len(MARK) + 43
"""Characters of a key: the mark, and 256 bits in base64url."""


def new_key(name: str, scopes: tuple[Scope, ...], expires_on: date | None) -> tuple[str, KeyEntry]:
    """A key, to be shown once, and what is kept of it."""
    text = MARK + secrets.token_urlsafe(32)
    return text, KeyEntry(name, digest(text), scopes, expires_on or UNSET)


def digest(text: str) -> str:
    """What is kept of a key."""
    return hashlib.sha256(text.encode()).hexdigest()


def caller(text: str, known: Mapping[str, KeyEntry], today: date) -> Caller | None:
    """Who has a key; nobody where it is unknown or has expired.

    The digest is what is looked up, so the time that takes says nothing of a key; the comparison of what was found is
    in constant time as well.
    """
    found = digest(text)
    entry = known.get(found)
    if entry is None or not compare_digest(entry.sha256, found):
        return None
    if entry.expires_on and today > entry.expires_on:
        return None
    return Caller(entry.id, frozenset(entry.scopes))
