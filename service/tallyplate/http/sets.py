"""`POST /v1/sets`: several plates in one order, priced as a whole; `POST /v1/sections`: a plate split for a set."""

import asyncio

import msgspec
from litestar import Response, post
from litestar.types import ControllerRouterHandler

from tallyplate.http import guard
from tallyplate.http.bodies import JSON, AnyRequest, json_body
from tallyplate.inquiry import decode
from tallyplate.installation import Form, Installation
from tallyplate.reload import Current
from tallyplate.sets.answers import SetAnswer, set_answer
from tallyplate.sets.inquiry import MOST_PLATES
from tallyplate.sets.outside import SellingSet, set_outside
from tallyplate.sets.priced import price_set
from tallyplate.sets.sections import split


def handlers(current: Current, most_plates: int = MOST_PLATES) -> list[ControllerRouterHandler]:
    """The routes, around the installation in force when a request comes."""

    @post("/v1/sets", status_code=200)
    async def sets(request: AnyRequest) -> Response[bytes]:
        """Price several plates as one order."""
        body, form = await json_body(request), guard.form(request)
        # In a thread of its own, so that the service goes on answering meanwhile; one at a time, as admission has it.
        answer = await asyncio.to_thread(answered, decode(body), current.installation, form, most_plates)
        return Response(msgspec.json.encode(answer), media_type=JSON)

    @post("/v1/sections", status_code=200)
    async def sections(request: AnyRequest) -> Response[bytes]:
        """Split a plate."""
        answer = split(decode(await json_body(request)), current.installation.families)
        return Response(msgspec.json.encode(answer), media_type=JSON)

    return [sets, sections]


def answered(
    request: object, installation: Installation, form: Form = Form.INSIDE, most_plates: int = MOST_PLATES
) -> SetAnswer | SellingSet:
    """The price of a set in a form; raises `Refusal` for one that cannot be priced."""
    priced = price_set(request, installation, most=most_plates)
    if form is Form.INSIDE:
        return set_answer(priced, installation.versions)
    return set_outside(priced, installation.modules)
