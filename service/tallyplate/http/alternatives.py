"""`POST /v1/alternatives`: the plates that fit a budget, none of them beaten by another.

All amounts are selling prices. Only what drives the cheapest price, where nothing fits, has a form: inside by module,
outside by kind of work in selling amounts.
"""

import asyncio
from collections.abc import Callable
from datetime import date
from functools import partial
from typing import Final

import msgspec
from litestar import Response, post
from litestar.types import ControllerRouterHandler

from tallyplate import money
from tallyplate.answers import PriceAnswer
from tallyplate.contract import Fault, Refusal
from tallyplate.http import guard
from tallyplate.http.bodies import JSON, AnyRequest, json_body
from tallyplate.http.effects import start
from tallyplate.inquiry import decode
from tallyplate.installation import MOST_DAYS, Form, Installation
from tallyplate.money import minor_digits
from tallyplate.outside import outside
from tallyplate.pricing import Modules
from tallyplate.reload import Current
from tallyplate.tradeoffs.alternatives.answer import Asked, Drivers, alternatives
from tallyplate.tradeoffs.alternatives.pricer import Pricer
from tallyplate.tradeoffs.alternatives.told import AlternativesAnswer
from tallyplate.tradeoffs.alternatives.variables import AS_USUAL, MOST_COMBINATIONS, variables
from tallyplate.tradeoffs.start import Start

MAY_CHANGE: Final = "may_change"


def handlers(current: Current, most: int = MOST_COMBINATIONS) -> list[ControllerRouterHandler]:
    """The route, around the installation in force when a request comes."""
    one_at_a_time = asyncio.Lock()

    @post("/v1/alternatives", status_code=200)
    async def what_fits(request: AnyRequest) -> Response[bytes]:
        """Find the plates that fit a budget."""
        body = decode(await json_body(request))
        # In a thread of its own and one at a time, so that the service goes on answering meanwhile.
        async with one_at_a_time:
            answer = await asyncio.to_thread(answered, body, current.installation, guard.form(request), None, most)
        return Response(msgspec.json.encode(answer), media_type=JSON)

    return [what_fits]


def answered(
    body: object,
    installation: Installation,
    form: Form = Form.INSIDE,
    today: date | None = None,
    most: int = MOST_COMBINATIONS,
) -> AlternativesAnswer:
    """The alternatives to a request, in a form; raises `Refusal` with the faults of the request."""
    day = today or installation.today()
    request, free = body, AS_USUAL
    if isinstance(body, dict):
        request = {name: value for name, value in body.items() if name != MAY_CHANGE}
        free = body.get(MAY_CHANGE, AS_USUAL)
    asked = _with_budget(request, lambda: start(request, installation, day))
    made = installation.build(request, day)
    inquiry = made.inquiry
    pricer = Pricer(
        name=inquiry.family,
        family=installation.families[inquiry.family],
        order=inquiry.order(made.as_of),
        shop=made.shop,
        card=made.card,
        modules=Modules.of(installation.modules),
        most_days=MOST_DAYS,
    )
    assert inquiry.budget is not None  # noqa: S101 - required above
    drivers: Drivers = partial(_by_module if form is Form.INSIDE else _by_kind, installation)
    return alternatives(Asked(asked, made.build, pricer, variables(asked, free, most), inquiry.budget.minor, drivers))


def _with_budget(request: object, started: Callable[[], Start]) -> Start:
    """A request with its price; refuses one that says no budget, with all else that is wrong with it."""
    if not isinstance(request, dict) or "budget" in request:
        return started()
    missing = Fault("/budget", 'is required and missing; accepted: an amount and a currency, such as "4500.00 USD"')
    try:
        started()
    except Refusal as refusal:
        raise Refusal(missing, *refusal.faults) from None
    raise Refusal(missing)


def _by_module(installation: Installation, price: PriceAnswer) -> list[tuple[str, int]]:
    """What each module charges, by its title or, where it has none for customers, by its name."""
    digits, amounts = minor_digits(price.currency), dict[str, int]()
    for line in price.lines:
        name = installation.modules[line.module].title or line.module
        amounts[name] = amounts.get(name, 0) + money.count(line.amount, digits)
    return list(amounts.items())


def _by_kind(installation: Installation, price: PriceAnswer) -> list[tuple[str, int]]:
    """What each kind of work sells for."""
    digits = minor_digits(price.currency)
    return [
        (line.item, money.count(line.amount, digits)) for line in outside(price, installation.modules, digits).lines
    ]
