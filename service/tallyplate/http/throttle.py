"""Requests a second of one key and of one address, by token buckets on the monotonic clock."""

import time
from collections import OrderedDict
from collections.abc import Callable
from functools import lru_cache
from ipaddress import IPv6Address, ip_address
from typing import Final

from litestar.types import ASGIApp, Receive, Scope, Send

from tallyplate.http.problems import problem
from tallyplate.http.refusing import exempt, send_problem

HOST_BITS: Final = 64
"""Of an IPv6 address, the part that its owner chooses freely: limits count the network (RFC 6177, section 2)."""

MOST_SIGNS: Final = 64
"""Of what calls itself an address and is none."""

Who = Callable[[Scope], str]
"""Who makes a request; nobody in particular where it is empty."""


class Buckets:
    """A bucket of tokens a caller: `burst` when full, `rate` more a second. `most` callers are remembered."""

    def __init__(self, rate: float, burst: int, most: int, clock: Callable[[], float] = time.monotonic) -> None:
        self.rate, self.burst, self.most, self.clock = rate, burst, most, clock
        self._held: OrderedDict[str, tuple[float, float]] = OrderedDict()

    def wait(self, who: str) -> float:
        """Take a token; or, where there is none, the seconds until there will be."""
        now = self.clock()
        tokens, at = self._held.pop(who, (float(self.burst), now))
        tokens = min(self.burst, tokens + (now - at) * self.rate)
        taken = tokens >= 1.0
        self._held[who] = (tokens - taken, now)
        if len(self._held) > self.most:
            self._held.popitem(last=False)
        return 0.0 if taken else (1.0 - tokens) / self.rate


class Throttled:
    """An application that one caller cannot keep busy alone."""

    def __init__(self, app: ASGIApp, buckets: Buckets, who: Who, what: str) -> None:
        self.app, self.buckets, self.who, self.what = app, buckets, who, what

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on while its caller has tokens."""
        if not exempt(scope) and (who := self.who(scope)) and (wait := self.buckets.wait(who)):
            accepted = f"accepted of one {self.what}: {self.buckets.rate:g} requests a second"
            await send_problem(send, problem("too-many-requests", accepted), retry_after=wait)
            return
        await self.app(scope, receive, send)


def address(scope: Scope) -> str:
    """The address of a client; of IPv6 the network that its owner holds.

    This machine is nobody in particular: a proxy here that is not trusted stands for anybody.
    """
    client = scope.get("client")
    return _owner(client[0]) if client else ""


@lru_cache(maxsize=4096)
def _owner(client: str) -> str:
    try:
        found = ip_address(client)
    except ValueError:  # A name from a proxy that hides addresses (RFC 7239, section 6).
        return client[:MOST_SIGNS]
    if found.is_loopback:
        return ""
    if isinstance(found, IPv6Address) and found.ipv4_mapped is None:
        return str(IPv6Address(int(found) >> HOST_BITS << HOST_BITS))
    return client


def key(scope: Scope) -> str:
    """The key of a caller who has shown one."""
    return str(getattr(scope.get("caller"), "name", ""))
