"""`POST /v1/questions`: what is still open in any part of a request, and the range of its price so far.

All amounts are totals of orders, which a caller could ask for one by one, or bounds of them: there is no other form for
the outside.
"""

import asyncio
from datetime import date
from functools import lru_cache, partial
from typing import Final

import msgspec
from litestar import Response, post
from litestar.types import ControllerRouterHandler

from tallyplate.http.bodies import JSON, AnyRequest, json_body
from tallyplate.inquiry import Pins, decode
from tallyplate.installation import REMEMBERED, Installation
from tallyplate.pricing import Modules
from tallyplate.reload import Current
from tallyplate.tradeoffs.questions.answer import QuestionsAnswer, Shop, questions
from tallyplate.tradeoffs.questions.given import read

ANSWERS: Final = 256
"""Answers that are remembered, each some twenty kilobytes: every conversation begins alike."""


def handlers(current: Current) -> list[ControllerRouterHandler]:
    """The route, around the installation in force when a request comes."""
    one_at_a_time = asyncio.Lock()
    remembered = lru_cache(maxsize=ANSWERS)(_encoded)

    @post("/v1/questions", status_code=200)
    async def what_is_open(request: AnyRequest) -> Response[bytes]:
        """Say what is open."""
        body, installation = await json_body(request), current.installation
        encoded = remembered if len(body) <= REMEMBERED else _encoded
        # In a thread of its own and one at a time, so that the service goes on answering meanwhile.
        async with one_at_a_time:
            answer = await asyncio.to_thread(encoded, body, installation, installation.today())
        return Response(answer, media_type=JSON)

    return [what_is_open]


def _encoded(body: bytes, installation: Installation, today: date) -> bytes:
    return msgspec.json.encode(answered(decode(body), installation, today))


def answered(request: object, installation: Installation, today: date | None = None) -> QuestionsAnswer:
    """The open questions of any part of a request; raises `Refusal` for what cannot become a plate with a price."""
    given = read(request, installation.families)
    pins = given.envelope.pins or Pins()
    day = given.envelope.as_of or today or installation.today()
    card, shop = installation.versions_for(day, pins)
    under = Shop(
        families=installation.families,
        modules=Modules.of(installation.modules),
        card=card,
        shop=shop,
        day=day,
        price=partial(installation.tried, today=day),
    )
    return questions(given, under)
