"""`POST /v1/contours`: from a customer's DXF to features that go into a spec. It prices nothing."""

import asyncio

import msgspec
from litestar import Response, post
from litestar.types import ControllerRouterHandler

from tallyplate.contours.reading import ContourRequest, contours
from tallyplate.decoding import convert, length_hook
from tallyplate.http.bodies import JSON, AnyRequest, json_body
from tallyplate.http.limits import MOST_OF_A_DRAWING
from tallyplate.inquiry import decode


def handlers(most_bytes: int = MOST_OF_A_DRAWING) -> list[ControllerRouterHandler]:
    """The route."""

    @post("/v1/contours", status_code=200, request_max_body_size=most_bytes)
    async def read_contours(request: AnyRequest) -> Response[bytes]:
        """Read the contours of a DXF."""
        body = await json_body(request)
        # In a thread of its own, so that the service goes on answering meanwhile.
        return Response(await asyncio.to_thread(answered, body), media_type=JSON)

    return [read_contours]


def answered(body: bytes) -> bytes:
    """The features of a request, as JSON; raises `Refusal`."""
    return msgspec.json.encode(contours(convert(decode(body), ContourRequest, length_hook)))
