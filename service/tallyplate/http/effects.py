"""`POST /v1/effects`: what each choice in a request is worth; as JSON, or one of its curves as a chart.

All amounts are selling prices and differences of them, which a caller could ask for one by one: there is no other form
for the outside.
"""

import asyncio
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from functools import partial
from typing import Any, Final, cast

import msgspec
from litestar import Response, post
from litestar.types import ControllerRouterHandler
from msgspec import UnsetType

from tallyplate.answers import PriceAnswer
from tallyplate.contract import refuse
from tallyplate.documents.curves import Axis, Dot, curve
from tallyplate.http.bodies import JSON, AnyRequest, json_body
from tallyplate.http.negotiation import negotiated
from tallyplate.inquiry import decode
from tallyplate.installation import Installation
from tallyplate.reload import Current
from tallyplate.tradeoffs.curves import CURVES, Curve, CurvePoint, curves
from tallyplate.tradeoffs.effects import EffectsAnswer, effects
from tallyplate.tradeoffs.start import Start

SVG: Final = "image/svg+xml"


def handlers(current: Current) -> list[ControllerRouterHandler]:
    """The route, around the installation in force when a request comes."""
    one_at_a_time = asyncio.Lock()

    @post("/v1/effects", status_code=200)
    async def what_choices_are_worth(request: AnyRequest) -> Response[bytes]:
        """Price the neighbours of every choice."""
        body = await json_body(request)
        name = chosen(request.query_params.getall("curve", []))
        svg = negotiated(request.headers.getall("accept", []), (JSON, SVG)) == SVG
        make = partial(chart, name=name) if svg else answered
        # In a thread of its own and one at a time, so that the service goes on answering meanwhile.
        async with one_at_a_time:
            answer = await asyncio.to_thread(make, decode(body), current.installation)
        content = answer.encode() if isinstance(answer, str) else msgspec.json.encode(answer)
        return Response(content, media_type=SVG if svg else JSON, headers={"vary": "Accept"})

    return [what_choices_are_worth]


def chosen(names: list[str]) -> str:
    """The curve that a query asks for; the first where it asks for none."""
    if not set(names) <= set(CURVES) or len(names) > 1:
        found = ", ".join(repr(name[:80]) for name in names[:5])
        raise refuse("", f"the query parameter curve is {found}; accepted: one of {', '.join(CURVES)}")
    return names[0] if names else CURVES[0]


def start(request: object, installation: Installation, today: date | None = None) -> Start:
    """A request with its price, for its effects; raises `Refusal` for one that has no price."""
    price = partial(installation.tried, today=today or installation.today())
    base = installation.thorough(price, request)
    asked = cast("Mapping[str, Any]", request)
    family = installation.families[asked["plate"]["family"]]
    shop = next(shop for shop in installation.shops if shop.digest == base.shop_data.digest)
    return Start(asked, base, price, family, shop)


def answered(request: object, installation: Installation) -> EffectsAnswer:
    """The effects and curves of a request."""
    return effects(start(request, installation))


def chart(request: object, installation: Installation, name: str) -> str:
    """One curve of a request as SVG; refuses one that its plate does not have."""
    one = start(request, installation)
    for found in curves(one, (name,)):
        return drawn(found, one.base)
    there = ", ".join(found.name for found in curves(one))
    raise refuse("", f"the plate has no curve {name!r}; accepted: {there}")


def drawn(one: Curve, price: PriceAnswer) -> str:
    """A curve as a chart: the price of a plate against quantity, else that of the whole order."""
    each = one.name == "quantity"
    count = f"{price.quantity:,} plate{'s' * (price.quantity != 1)}"
    dots = [_dot(point, point.unit_price if each else point.total) for point in one.points]
    subtitle = f"{price.currency} {'a plate' if each else f'for {count}'}"
    return curve(f"Price by {one.title.lower()}", subtitle, dots, Axis(f"{one.title}, {one.unit}", ratio=each))


def _dot(point: CurvePoint, amount: str | UnsetType) -> Dot:
    found = None if isinstance(amount, UnsetType) else Decimal(amount)
    return Dot(Decimal(point.at), found, point.can_be_made, point.present)
