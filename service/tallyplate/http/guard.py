"""Who may call what: the one table of routes and scopes, held before any handler reads a body."""

import re
from collections.abc import Iterable
from typing import Any, Final, cast

from litestar import Request, Response, get
from litestar.connection import ASGIConnection
from litestar.enums import ScopeType
from litestar.types import ASGIApp, ControllerRouterHandler, Receive, Scope, Send
from msgspec import Struct
from msgspec.json import encode

from tallyplate.access import scopes
from tallyplate.access.gate import Gate
from tallyplate.access.scopes import Caller
from tallyplate.contract import Fault, Refusal
from tallyplate.http.problems import problem
from tallyplate.http.refusing import send_problem
from tallyplate.installation import Form

CALLER: Final = "caller"
"""Where the caller stands in the scope of a request."""

OPEN: Final = None
"""Said of a route that anyone may call."""

SCOPES: Final[dict[str, scopes.Scope | None]] = {
    "/v1/prices": scopes.Scope.PRICE,
    "/v1/prices/batch": scopes.Scope.PRICE,
    "/v1/sets": scopes.Scope.PRICE,
    "/v1/sections": scopes.Scope.PRICE,
    "/v1/questions": scopes.Scope.PRICE,
    "/v1/readings": scopes.Scope.PRICE,
    "/v1/contours": scopes.Scope.PRICE,
    "/v1/findings": scopes.Scope.PRICE,
    "/v1/effects": scopes.Scope.PRICE,
    "/v1/alternatives": scopes.Scope.PRICE,
    "/v1/comparisons": scopes.Scope.PRICE,
    "/v1/quotes": scopes.Scope.PRICE,
    "/v1/quotes/verification": scopes.Scope.PRICE,
    "/v1/drawings": scopes.Scope.PRICE,
    "/v1/hole-schedules": scopes.Scope.PRICE,
    "/v1/families": scopes.Scope.PRICE,
    "/v1/materials": scopes.Scope.PRICE,
    "/v1/rate-cards": scopes.Scope.RATES,
    "/v1/rate-cards/changes": scopes.Scope.RATES,
    "/v1/shop-data": scopes.Scope.RATES,
    "/v1/impacts": scopes.Scope.RATES,
    "/metrics": scopes.Scope.METRICS,
    "/v1/access": OPEN,
    "/.well-known/jwks.json": OPEN,
    "/health/live": OPEN,
    "/health/ready": OPEN,
    "/openapi.json": OPEN,
    "/": OPEN,
    "/desk/{name}": OPEN,
    "/docs": OPEN,
    "/docs/assets/{file_path}": OPEN,
    "/docs/own/{file_path}": OPEN,
    "/problems/{code}": OPEN,
}
"""The scope that each route asks for. A route that is not here ends the service's start."""

CHALLENGE: Final = 'Bearer realm="tallyplate"'


UNKNOWN: Final = problem("unauthorized", "the credentials are not known here, or hold no longer")
"""The same answer whatever is wrong with credentials."""

MISDIRECTED: Final = problem("misdirected", "this service answers to the names of this machine alone")

INVALID_TOKEN: Final = (b"www-authenticate", f'{CHALLENGE}, error="invalid_token"'.encode())

_LOCAL: Final = re.compile(rb"(localhost|127\.[0-9.]{5,11}|\[::1\])(:[0-9]{1,5})?\Z", re.IGNORECASE)


class NotAllowed(Refusal):
    """A caller without the scope that something asks for."""

    code = "forbidden"

    def __init__(self, scope: scopes.Scope, pointer: str = "", what: str = "this call") -> None:
        super().__init__(Fault(pointer, f"{what} asks for the scope {scope}, which the caller's key does not have"))
        self.scope = scope


class NotIdentified(Refusal):
    """A caller without credentials, where some are needed."""

    code = "unauthorized"


class AccessAnswer(Struct, frozen=True):
    """What a caller may do; `key` is the id of a key or the subject of a token, empty without credentials."""

    key: str
    scopes: tuple[scopes.Scope, ...]


class Identified:
    """An application whose requests say who calls; whoever shows credentials that are not good is sent away."""

    def __init__(self, app: ASGIApp, gate: Gate) -> None:
        self.app, self.gate = app, gate

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Put the caller into the scope."""
        if scope["type"] == ScopeType.HTTP:
            if self.gate.local and not _meant_for_this_machine(scope["headers"]):
                await send_problem(send, MISDIRECTED)
                return
            found = await self.gate.caller(_authorization(scope["headers"]))
            if found is None:
                await send_problem(send, UNKNOWN, INVALID_TOKEN)
                return
            cast("dict[str, Any]", scope)[CALLER] = found
        await self.app(scope, receive, send)


def _authorization(headers: Iterable[tuple[bytes, bytes]]) -> str | None:
    """The one Authorization header; two of them are no credentials."""
    found = [value for name, value in headers if name == b"authorization"]
    return found[0].decode("latin-1") if len(found) == 1 else "" if found else None


def _meant_for_this_machine(headers: Iterable[tuple[bytes, bytes]]) -> bool:
    hosts = [value for name, value in headers if name == b"host"]
    return len(hosts) == 1 and _LOCAL.match(hosts[0]) is not None


async def guard(request: Request[Any, Any, Any]) -> None:
    """Let through who has the scope of the route; raises `NotIdentified` or `NotAllowed`.

    Runs before the handler of a request. The framework has guards of its own: it copies the whole handler for each
    request, and a guard that is no coroutine waits for a thread.
    """
    wanted = SCOPES[request.scope["path_template"]]
    who = caller(request)
    if wanted is OPEN or who.may(wanted):
        return
    if who.name:
        raise NotAllowed(wanted)
    raise NotIdentified(Fault("", f"this call asks for a key with the scope {wanted}; accepted: Authorization: Bearer"))


def complete(routes: Iterable[str]) -> None:
    """Hold that every route has its scope; raises `KeyError` with those that have none, so that no service starts."""
    without = sorted({*routes} - {*SCOPES})
    if without:
        raise KeyError(without)


def challenge(refusal: Refusal) -> dict[str, str]:
    """The headers that go with a refusal for want of credentials or of a scope (RFC 6750, section 3)."""
    if isinstance(refusal, NotAllowed):
        return {"www-authenticate": f'{CHALLENGE}, error="insufficient_scope", scope="{refusal.scope}"'}
    return {"www-authenticate": CHALLENGE} if isinstance(refusal, NotIdentified) else {}


def caller(connection: ASGIConnection[Any, Any, Any, Any]) -> Caller:
    """Who has sent a request."""
    return cast("Caller", cast("dict[str, Any]", connection.scope)[CALLER])


def form(connection: ASGIConnection[Any, Any, Any, Any]) -> Form:
    """The form in which a caller sees prices."""
    return form_for(caller(connection))


def form_for(who: Caller) -> Form:
    """The same for whoever called."""
    return Form.INSIDE if who.may(scopes.Scope.COST) else Form.OUTSIDE


def handlers() -> list[ControllerRouterHandler]:
    """The call that says what a caller may do."""

    @get("/v1/access", sync_to_thread=False)
    def access(request: Request[Any, Any, Any]) -> Response[bytes]:
        """What the caller may do."""
        who = caller(request)
        return Response(encode(AccessAnswer(who.name, tuple(sorted(who.scopes)))), media_type="application/json")

    return [access]
