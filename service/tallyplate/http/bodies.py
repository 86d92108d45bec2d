"""Bodies of calls that take plates: JSON and nothing else, read strictly."""

from typing import Any, Final

from litestar import Request

from tallyplate.contract import Fault, Refusal

JSON: Final = "application/json"

PLAIN: Final = "identity"
"""The coding of a body that is sent as it is (RFC 9110)."""

AnyRequest = Request[Any, Any, Any]


class NotJson(Refusal):
    """A body of another media type."""

    code = "not-json"


def expect(request: AnyRequest, media_type: str = JSON) -> None:
    """Refuse a body of another media type, and one that is compressed."""
    found = request.content_type[0] or "none"
    if found != media_type:
        raise NotJson(Fault("", f"the body's media type is {found[:80]!r}; accepted: {media_type}"))
    coding = request.headers.get("content-encoding", PLAIN)
    if coding.strip().lower() != PLAIN:
        raise NotJson(Fault("", f"the body's content-encoding is {coding[:80]!r}; accepted: none"))


async def json_body(request: AnyRequest) -> bytes:
    """The body of a request that says it is JSON; refuses any other, and lets one too large be refused."""
    expect(request)
    return await request.body()
