"""`POST /v1/readings`: from a free-text note to the part of a request that it certainly states."""

import asyncio
from datetime import date
from typing import Annotated, Final

import msgspec
from litestar import Response, post
from litestar.types import ControllerRouterHandler
from msgspec import UNSET, Meta, Struct, UnsetType

from tallyplate.contract import Fault, Refusal
from tallyplate.decoding import convert, length_hook
from tallyplate.http.bodies import JSON, AnyRequest, json_body
from tallyplate.inquiry import YEARS, decode
from tallyplate.installation import Installation
from tallyplate.reading.note import MAX_NOTE, read
from tallyplate.reading.offer import Offer
from tallyplate.reading.statements import Reading
from tallyplate.reload import Current

AS_OF: Final = "The date on which the note was written; days without a year and spans are counted from it."


class ReadingRequest(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A note to be read."""

    note: Annotated[str, Meta(title="Note", max_length=MAX_NOTE, description="Free text, such as an e-mail.")]
    as_of: Annotated[date, Meta(title="As of", description=AS_OF)] | UnsetType = UNSET


def handlers(current: Current) -> list[ControllerRouterHandler]:
    """The route, around the installation in force when a request comes."""

    @post("/v1/readings", status_code=200)
    async def read_note(request: AnyRequest) -> Response[bytes]:
        """Read a note."""
        body, installation = await json_body(request), current.installation
        # In a thread of its own, so that the service goes on answering while a long note is read.
        answer = await asyncio.to_thread(lambda: msgspec.json.encode(answered(decode(body), installation)))
        return Response(answer, media_type=JSON)

    return [read_note]


def answered(request: object, installation: Installation, today: date | None = None) -> Reading:
    """What a note asks for; raises `Refusal` for what is no note, and for one that is too long."""
    asked = convert(request, ReadingRequest, length_hook)
    written = asked.as_of or None
    if written and written.year not in YEARS:
        message = f"{written.isoformat()} is out of range; accepted: years {YEARS[0]} to {YEARS[-1]}"
        raise Refusal(Fault("/as_of", message))
    card, shop = installation.in_force(written or today or installation.today())
    return read(asked.note, Offer(installation.families, shop, card.currency, written))
