"""Conditional requests (RFC 9110, sections 8.8.3 and 13): what a caller has already is not sent again.

A GET that names the tag of what it would get is answered 304. A POST that makes a document is, by section 13.1.2, not
performed where its tag is named: it is answered 412, and the caller keeps the document that it has. The tag belongs to
the document of this very body and Accept, and a document can always be made, so that `*` names it too. Conditions are
looked at last: whatever a request would be refused for, it is refused for (section 13.2.1).
"""

import re
from hashlib import sha256
from typing import Any, Final

from litestar import Response
from litestar.connection import ASGIConnection
from litestar.status_codes import HTTP_200_OK, HTTP_304_NOT_MODIFIED

from tallyplate.contract import Fault, Refusal

Connection = ASGIConnection[Any, Any, Any, Any]

HEADERS: Final = ("if-match", "if-none-match")

_TAG = r'(?:W/)?"[\x21\x23-\x7e\x80-\xff]*"'
_TAGS = re.compile(rf"[ \t,]*{_TAG}(?:[ \t]*,[ \t,]*{_TAG})*[ \t,]*\Z")
_ONE = re.compile(_TAG)


class PreconditionFailed(Refusal):
    """A request on a condition that does not hold."""

    code = "precondition-failed"


def tag_of(content: bytes) -> str:
    """The strong entity tag of some bytes."""
    return f'"{sha256(content).hexdigest()[:32]}"'


def revalidated(request: Connection, answer: Response[bytes]) -> Response[bytes]:
    """What a GET answers, with its tag and to be asked about each time; or that the caller has it already."""
    if answer.status_code not in {None, HTTP_200_OK}:
        return answer
    tag = tag_of(answer.content)
    said = {"etag": tag, "cache-control": "no-cache"}
    if _failed(request, tag) == "if-none-match":
        return Response(b"", status_code=HTTP_304_NOT_MODIFIED, media_type=answer.media_type, headers=said)
    hold(request, tag)
    return Response(answer.content, media_type=answer.media_type, headers=said)


def hold(request: Connection, tag: str) -> None:
    """Hold that a request's conditions let it be performed; raises `PreconditionFailed`."""
    if name := _failed(request, tag):
        message = f"the condition {name} does not hold: the tag of what this request would answer is {tag}"
        raise PreconditionFailed(Fault("", message))


def _failed(request: Connection, tag: str) -> str | None:
    """The header whose condition does not hold, in the order of section 13.2.2.

    If-Match compares strongly, and If-None-Match weakly (section 8.8.3.2). What is no list of tags names none.
    """
    for name in HEADERS:
        said = ",".join(request.headers.getall(name, []))
        if not said:
            continue
        named = _ONE.findall(said) if _TAGS.match(said) else []
        if name == "if-none-match":
            named = [one.removeprefix("W/") for one in named]
        if (said.strip() == "*" or tag in named) == (name == "if-none-match"):
            return name
    return None
