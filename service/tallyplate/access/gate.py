"""The gate: from an Authorization header to who calls. It follows its file, so that keys change without a restart."""

import time
from collections.abc import Collection, Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Final

import structlog

from tallyplate.access.keys import MARK, caller
from tallyplate.access.scopes import EVERY, Caller, Scope, anonymous
from tallyplate.access.settings import AccessFile, Issuer, KeyEntry, read_access
from tallyplate.contract import Refusal

if TYPE_CHECKING:
    from tallyplate.access.providers import Provider

LOOK: Final = 1.0
"""Seconds between two looks at the file."""

MOST_BYTES: Final = 8 * 1024 * 1024

SCHEME: Final = "bearer"

log = structlog.get_logger("tallyplate.access")


class Gate:
    """A gate that lets callers in by what an access file says; without one everybody may do the same."""

    def __init__(self, path: Path | None = None, *, local: bool = False, everybody: Collection[Scope] = EVERY) -> None:
        """Read the file; raises `Refusal` with what is wrong with it, or `OSError`.

        A local gate is for a service that only this machine reaches: it takes no request that was sent to another
        host's name, as a page of another site would send it through a name that it points here.
        """
        self._path, self.local = path, local
        self.nobody = anonymous(everybody)
        """A caller without credentials."""
        self._keys: Mapping[str, KeyEntry] = {}
        self._providers: Mapping[str, Provider] = {}
        self._looked, self._seen = time.monotonic(), None if path is None else _state(path)
        if path is not None:
            self._take(_read(path))

    async def caller(self, authorization: str | None) -> Caller | None:
        """Who calls; None where credentials were given and are not good."""
        if self._path is not None and time.monotonic() - self._looked >= LOOK:
            self._look(self._path)
        if authorization is None:
            return self.nobody
        if self._path is None:
            # A service that is open to all does not judge credentials that it never gave.
            return self.nobody
        scheme, _, text = authorization.partition(" ")
        if scheme.lower() != SCHEME:
            return None
        text = text.strip()
        if text.startswith(MARK):
            return caller(text, self._keys, datetime.now(UTC).date())
        return await self._by_token(text)

    async def _by_token(self, token: str) -> Caller | None:
        if not self._providers:
            return None
        from tallyplate.access.tokens import Bad, parts  # noqa: PLC0415 - its library may be absent

        try:
            _, issuer = parts(token)
            return await self._providers[issuer].caller(token)
        except KeyError:
            log.info("token refused", reason="an issuer that is not known here")
            return None
        except Bad as bad:
            log.info("token refused", reason=str(bad))
            return None

    def _look(self, path: Path) -> None:
        """Read the file again where it has changed; one that is wrong leaves the last good one in force."""
        self._looked = time.monotonic()
        try:
            seen = _state(path)
            if seen == self._seen:
                return
            self._seen = seen
            self._take(_read(path))
        except (OSError, Refusal) as error:
            reasons = [fault.message for fault in error.faults] if isinstance(error, Refusal) else [str(error)]
            log.warning("access file refused", problems=reasons)
        else:
            log.info("access file read", keys=[key.id for key in self._keys.values()])

    def _take(self, file: AccessFile) -> None:
        self._providers = _providers(file.issuers, self._path.parent) if self._path else {}
        self._keys = {key.sha256: key for key in file.keys}
        self.nobody = anonymous(file.anonymous)


def _providers(issuers: Sequence[Issuer], folder: Path) -> "Mapping[str, Provider]":
    if not issuers:
        return {}
    from tallyplate.access.providers import Provider  # noqa: PLC0415 - its library may be absent

    return {issuer.issuer: Provider(issuer, folder) for issuer in issuers}


def _state(path: Path) -> tuple[int, int, int]:
    state = path.stat()
    return state.st_ino, state.st_mtime_ns, state.st_size


def _read(path: Path) -> AccessFile:
    with path.open("rb") as file:
        return read_access(file.read(MOST_BYTES))
