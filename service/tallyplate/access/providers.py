"""The key sets of identity providers: read from files or fetched from URLs, and renewed when a new key shows up."""

import asyncio
import time
import urllib.request
from pathlib import Path
from typing import Final

import structlog
from joserfc.errors import JoseError
from joserfc.jwk import KeySet

from tallyplate.access.scopes import Caller
from tallyplate.access.settings import Issuer
from tallyplate.access.tokens import Bad, parts, verified
from tallyplate.contract import Refusal
from tallyplate.inquiry import decode

EVERY: Final = 600.0
"""Seconds after which keys are fetched again, so that a key withdrawn by its provider goes here too."""

AGAIN: Final = 30.0
"""Least seconds between two fetches, however many tokens name unknown keys."""

PATIENCE: Final = 5.0
"""Seconds that a provider may take to answer."""

MOST_BYTES: Final = 256 * 1024

log = structlog.get_logger("tallyplate.access")


class Provider:
    """An issuer with its keys, as they were last seen."""

    def __init__(self, issuer: Issuer, folder: Path) -> None:
        self.issuer, self._folder = issuer, folder
        self._keys: KeySet | None = None
        self._fetched = -EVERY
        self._fetching = asyncio.Lock()

    async def caller(self, token: str) -> Caller:
        """Who a token speaks for; raises `Bad`."""
        head, _ = parts(token)
        await self._renew(EVERY)
        if self._keys is None or not self._knows(head.kid):
            await self._renew(AGAIN)
        if self._keys is None:
            raise Bad("the keys of its issuer could not be read")
        return verified(token, head, self.issuer, self._keys, time.time())

    def _knows(self, kid: str) -> bool:
        return self._keys is not None and any(key.kid == kid for key in self._keys.keys)

    async def _renew(self, seconds: float) -> None:
        """Read the keys, unless that was done less than so many seconds ago; keys that were good stay on failure."""
        async with self._fetching:
            now = time.monotonic()
            if now - self._fetched < seconds:
                return
            self._fetched = now
            try:
                content = await asyncio.to_thread(_content, self.issuer, self._folder)
                self._keys = _key_set(content)
            except (OSError, ValueError, JoseError, Refusal, Bad) as error:
                log.warning("keys not read", issuer=self.issuer.issuer, reason=f"{type(error).__name__}: {error}")


def _content(issuer: Issuer, folder: Path) -> bytes:
    if issuer.keys_file:
        content = (folder / issuer.keys_file).read_bytes()
    else:
        # The scheme was checked when the access file was read, and a redirect may not lead out of it.
        with _OPENER.open(str(issuer.keys_url), timeout=PATIENCE) as answer:
            content = answer.read(MOST_BYTES + 1)
    if len(content) > MOST_BYTES:
        message = f"a key set of more than {MOST_BYTES} bytes"
        raise ValueError(message)
    return content


def _key_set(content: bytes) -> KeySet:
    """The public keys of a set; those of a kind that is not known here are passed over."""
    written = decode(content)
    entries = written.get("keys") if isinstance(written, dict) else None
    if not isinstance(entries, list) or not entries:
        message = "no key set (RFC 7517)"
        raise ValueError(message)
    known = []
    for entry in entries:
        # A provider may publish keys of newer kinds beside those that its tokens are signed with.
        try:
            (key,) = KeySet.import_key_set({"keys": [entry]}).keys
        except (JoseError, ValueError, TypeError, KeyError, AttributeError):
            log.info("key passed over", kid=str(entry.get("kid"))[:80] if isinstance(entry, dict) else "")
            continue
        if key.key_type != "oct":
            known.append(key)
    if not known:
        message = "no key that is known here"
        raise ValueError(message)
    return KeySet(known)


class _NoRedirects(urllib.request.HTTPRedirectHandler):
    def redirect_request(self, *_: object) -> None:
        """Refuse: keys come from the URL that was written down."""


_OPENER: Final = urllib.request.build_opener(urllib.request.ProxyHandler(), _NoRedirects())
