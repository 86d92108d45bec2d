"""What the OpenAPI document says of drawings and hole schedules."""

from collections.abc import Callable, Sequence
from typing import Any, Final

from msgspec import Struct

from tallyplate.documents.drawings.paper import DrawingOptions
from tallyplate.documents.schedules.schedule import HoleSchedule
from tallyplate.http import drawings, hole_schedules
from tallyplate.http.openapi_shared import Document
from tallyplate.http.shop_documents import request_type

Post = Callable[..., Document]
"""Describes one call: its name, what is said of it, the schemas of its request and answer, its refusals."""

REFUSED: Final = (
    "malformed-json", "too-large", "not-json", "not-acceptable", "precondition-failed", "invalid-request",
    "plugin-failure", "version-unavailable",
)  # fmt: skip

TAGGED: Final = (
    "The ETag is that of the document for this body and Accept, and the same for the same document. As RFC 9110 "
    "(section 13.1.2) has it for POST, If-None-Match with this tag is answered 412 in place of the document, which the "
    "caller has already; If-Match with another tag likewise."
)
DRAWN: Final = (
    "The drawing of a plate",
    (
        "SVG or DXF, by Accept: every hole at its place, a section through each type of hole, and the dimensions. "
        f"DXF is at full size from the lower left corner. {TAGGED}"
    ),
)
LISTED: Final = (
    "The hole schedule and parts list of a plate",
    (
        "JSON, CSV or XLSX, by Accept: every hole by its engraved name, with its place, face and steps, and the parts "
        f"of the order. CSV holds one of the tables. {TAGGED}"
    ),
)
HEADERS: Final[Document] = {
    "Content-Disposition": {"description": "A name for the file.", "schema": {"type": "string"}},
    "ETag": {"description": "The same for the same document.", "schema": {"type": "string"}},
    "Vary": {"description": "What the format was chosen by.", "schema": {"type": "string"}},
}


def revalidated(get: Document) -> None:
    """Add to the description of a GET that its answer has a tag, and what one that the caller has already is."""
    get["description"] += (
        " If-None-Match with the answer's ETag asks whether it has changed (RFC 9110, section 13.1.2)."
    )
    get["responses"]["200"]["headers"] = {"ETag": HEADERS["ETag"]}
    get["responses"]["304"] = {"description": "The caller has it already."}


def kinds(price_request: type[Struct]) -> list[Any]:
    """The types whose schemas `paths` takes, in their order."""
    drawing = request_type(
        price_request, "DrawingRequest", drawings.KEY, DrawingOptions, "A price request, and how it shall be drawn."
    )
    schedule = request_type(
        price_request,
        "HoleScheduleRequest",
        hole_schedules.KEY,
        hole_schedules.ScheduleOptions,
        "A price request, and how its holes shall be listed.",
    )
    return [drawing, schedule, HoleSchedule]


def paths(schemas: Sequence[Document], post: Post) -> Document:
    """The two calls."""
    drawing, schedule, listed = schemas
    text = {"type": "string"}
    one = post("drawing", DRAWN, drawing, text, *REFUSED)
    two = post("hole-schedule", LISTED, schedule, listed, *REFUSED)
    for call, media_types in ((one, drawings.offered()), (two, hole_schedules.OFFERED)):
        answer = call["responses"]["200"]
        own = answer["content"]["application/json"]
        answer["content"] = {kind: own if kind == "application/json" else {"schema": text} for kind in media_types}
        answer["headers"] = HEADERS
    return {"/v1/drawings": {"post": one}, "/v1/hole-schedules": {"post": two}}
