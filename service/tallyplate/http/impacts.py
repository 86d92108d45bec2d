"""`POST /v1/impacts`: what a draft card would do to a portfolio, compared with the card in force today.

It shows rates, so it asks for the scope `rates`.
"""

import asyncio
import re
from collections.abc import Sequence
from datetime import date
from functools import partial
from typing import Annotated, Any, Final

import msgspec
from litestar import Response, post
from litestar.types import ControllerRouterHandler
from msgspec import Meta, Struct

from tallyplate.answers import Version
from tallyplate.contract import Fault, Refusal, refuse
from tallyplate.decoding import convert, escaped, length_hook
from tallyplate.http.bodies import JSON, AnyRequest, json_body
from tallyplate.http.limits import MOST_ORDERS
from tallyplate.http.problems import MEDIA_TYPE, encoded, problem
from tallyplate.inquiry import decode
from tallyplate.installation import Installation
from tallyplate.orders import Entry
from tallyplate.pricing import Modules
from tallyplate.rates.files import DataError, written
from tallyplate.rates.inherit import Written
from tallyplate.reload import Current
from tallyplate.tradeoffs.draft import draft
from tallyplate.tradeoffs.impact import Impact, compared, impact

BYTES_AN_ORDER: Final = 4096
"""Room in the body for each order; one that says everything takes a quarter of it."""

CARD: Final = "draft_card"

CardText = Annotated[str, Meta(max_length=64 * 1024)]
"""A card as the text of its file; the demonstration's takes a tenth of that."""

_PROBLEM = re.compile(r'(?:rate card )?[^:]*(?::\d+)?: (?P<key>(?:"[^"]*"|[^":])+): (?P<reason>.*)', re.DOTALL)
_STEP = re.compile(r'"([^"]*)"|([^."]+)')


class ImpactRequest(Struct, frozen=True, forbid_unknown_fields=True):
    """A portfolio, and a card that may inherit from one here: the TOML text of its file, or what that says as JSON.

    As JSON it has its dates as ISO text.
    """

    orders: list[Any]
    draft_card: dict[str, Any] | CardText


class ImpactAnswer(Struct, frozen=True):
    """From the card in force today (a) to the draft (b). Orders are known by their places, counted from 1."""

    as_of: date
    in_force: Version
    draft: Version
    impact: Impact


def request_type(price_request: type[Struct], most_orders: int = MOST_ORDERS) -> type[Struct]:
    """The request with its orders as price requests, for its schema."""
    orders = Annotated[list[price_request], Meta(max_length=most_orders)]  # type: ignore[valid-type]
    fields: list[Any] = [("orders", orders), (CARD, dict[str, Any] | CardText)]
    said = {"__doc__": ImpactRequest.__doc__}
    return msgspec.defstruct("ImpactRequest", fields, namespace=said, frozen=True, forbid_unknown_fields=True)


def handlers(current: Current, most_orders: int = MOST_ORDERS) -> list[ControllerRouterHandler]:
    """The route, around the installation in force when a request comes."""
    largest = (most_orders + 16) * BYTES_AN_ORDER
    one_at_a_time = asyncio.Lock()

    @post("/v1/impacts", status_code=200, request_max_body_size=largest)
    async def impacts(request: AnyRequest) -> Response[bytes]:
        """Price a portfolio under two cards."""
        body = await json_body(request)
        installation = current.installation
        today = installation.today()
        try:
            installation.in_force(today)
        except Refusal as refusal:
            return _problem("not-ready", refusal.faults[0].message)
        # In a thread of its own and one at a time, so that the service goes on answering meanwhile.
        async with one_at_a_time:
            answer = await asyncio.to_thread(answered, body, installation, today, most_orders)
        return Response(msgspec.json.encode(answer), media_type=JSON)

    return [impacts]


def answered(body: bytes, installation: Installation, today: date, most_orders: int = MOST_ORDERS) -> ImpactAnswer:
    """The answer to a body; refuses too many orders before it prices any."""
    asked = convert(decode(body), ImpactRequest, length_hook)
    if len(asked.orders) > most_orders:
        raise refuse("/orders", f"{len(asked.orders)} orders; accepted: at most {most_orders}")
    old, shop = installation.in_force(today)
    try:
        new = draft(_written(asked.draft_card), installation.cards, installation.modules, shop)
    except DataError as error:
        raise Refusal(*_faults(error.problems)) from None
    except RecursionError:
        raise refuse(f"/{CARD}", "is nested too deep; accepted: a card of plain depth") from None
    if new.currency != old.currency:
        message = f"{new.currency} is not the currency of the card in force; accepted: {old.currency}"
        raise refuse(f"/{CARD}/currency", message)
    a, b = (partial(installation.price_under, card=card, today=today) for card in (old, new))
    orders = (Entry(place, order) for place, order in enumerate(asked.orders, start=1))
    modules = [name for name, _ in Modules.of(installation.modules).in_order]
    found = impact(compared(orders, a, b), old.currency, modules)
    return ImpactAnswer(today, Version(old.id, old.digest), Version(new.id, new.digest), found)


def _written(card: dict[str, Any] | str) -> Written:
    return written(CARD, card.encode()) if isinstance(card, str) else Written(CARD, card, {})


def _faults(problems: Sequence[str]) -> list[Fault]:
    """A card's problems, which name a key of its file, as faults of the request; one a field."""
    reasons: dict[str, str] = {}
    for one in problems:
        match = _PROBLEM.match(one)
        steps = [quoted or plain for quoted, plain in _STEP.findall(match["key"])] if match else []
        pointer = "/".join(["", CARD, *map(escaped, steps)])
        reason = match["reason"] if match else one
        reasons[pointer] = f"{reasons[pointer]}; {reason}" if pointer in reasons else reason
    return [Fault(pointer, reason) for pointer, reason in reasons.items()]


def _problem(code: str, detail: str) -> Response[bytes]:
    what = problem(code, detail)
    return Response(encoded(what), status_code=what.status, media_type=MEDIA_TYPE)
