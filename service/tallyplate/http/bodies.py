"""Bodies of calls that take plates: JSON and nothing else, read strictly."""

from typing import Any, Final

from litestar import Request

from tallyplate.contract import Fault, Refusal

JSON: Final = "application/json"

AnyRequest = Request[Any, Any, Any]


class NotJson(Refusal):
    """A body of another media type."""

    code = "not-json"


async def json_body(request: AnyRequest) -> bytes:
    """The body of a request that says it is JSON; refuses another media type, and lets one too large be refused."""
    if request.content_type[0] != JSON:
        found = request.content_type[0] or "none"
        raise NotJson(Fault("", f"the body's media type is {found[:80]!r}; accepted: {JSON}"))
    return await request.body()
