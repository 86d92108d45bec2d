"""`POST /v1/comparisons`: two requests priced, and every difference between them.

Inside, line by line. Outside, by kind of work in selling amounts: the same amounts that the two prices show there, so
that nothing comes out that the prices would not say. A service of the outside form shows no amount by module, since
overhead and margin are modules.
"""

from collections.abc import Callable, Mapping
from datetime import date
from functools import partial
from typing import Any

import msgspec
from litestar import Response, post
from litestar.types import ControllerRouterHandler
from msgspec import Struct

from tallyplate.answers import PriceAnswer, Version
from tallyplate.contract import Fault, Refusal
from tallyplate.decoding import convert, length_hook
from tallyplate.http import guard
from tallyplate.http.bodies import JSON, AnyRequest, json_body
from tallyplate.inquiry import decode
from tallyplate.installation import Form, Installation
from tallyplate.money import minor_digits
from tallyplate.outside import outside
from tallyplate.reload import Current
from tallyplate.tradeoffs.comparison import Comparison, compare
from tallyplate.tradeoffs.selling import SellingComparison, compare_selling
from tallyplate.tradeoffs.specs_compared import SpecDifference, differences
from tallyplate.tradeoffs.start import attempt


class ComparisonRequest(Struct, frozen=True, forbid_unknown_fields=True):
    """Two price requests, which may differ in plate, quantity, date or pinned versions."""

    a: Any
    b: Any


class Compared(Struct, frozen=True):
    """One of two prices compared, and what it was made from."""

    total: str
    unit_price: str
    quantity: int
    as_of: date
    rate_card: Version
    shop_data: Version


class ComparisonAnswer(Struct, frozen=True):
    """Two prices, what their requests ask differently, and how the prices differ; the lines sum exactly."""

    a: Compared
    b: Compared
    specs: tuple[SpecDifference, ...]
    comparison: Comparison


class SellingComparisonAnswer(Struct, frozen=True):
    """The same in the outside form: selling amounts by kind of work."""

    a: Compared
    b: Compared
    specs: tuple[SpecDifference, ...]
    comparison: SellingComparison


def request_type(price_request: type[Struct]) -> type[Struct]:
    """The request with its two as price requests, for its schema."""
    fields: list[Any] = [("a", price_request), ("b", price_request)]
    said = {"__doc__": ComparisonRequest.__doc__}
    return msgspec.defstruct("ComparisonRequest", fields, namespace=said, frozen=True, forbid_unknown_fields=True)


def handlers(current: Current) -> list[ControllerRouterHandler]:
    """The route, around the installation in force when a request comes."""

    @post("/v1/comparisons", status_code=200)
    async def comparisons(request: AnyRequest) -> Response[bytes]:
        """Compare two prices."""
        answer = compared(decode(await json_body(request)), current.installation, guard.form(request))
        return Response(msgspec.json.encode(answer), media_type=JSON)

    return [comparisons]


def compared(
    body: object, installation: Installation, form: Form = Form.INSIDE, today: date | None = None
) -> ComparisonAnswer | SellingComparisonAnswer:
    """The comparison of two requests in a form; raises `Refusal` with the faults of both, and for two currencies."""
    asked = convert(body, ComparisonRequest, length_hook)
    price = partial(installation.tried, today=today or installation.today())
    a, b = _both(asked, price)
    comparison = compare(a, b)
    specs = differences(_dated(asked.a, a), _dated(asked.b, b), a.assumed, b.assumed)
    sides = _side(a), _side(b)
    if form is Form.INSIDE:
        return ComparisonAnswer(*sides, specs, comparison)
    selling = (outside(one, installation.modules, minor_digits(one.currency)) for one in (a, b))
    return SellingComparisonAnswer(*sides, specs, compare_selling(*selling))


def _both(asked: ComparisonRequest, price: Callable[[object], PriceAnswer]) -> tuple[PriceAnswer, PriceAnswer]:
    """The prices of both requests, or one refusal with the faults of both, each under its own name."""
    a, b = attempt(asked.a, price), attempt(asked.b, price)
    if not isinstance(a, Refusal) and not isinstance(b, Refusal):
        return a, b
    refusals = {name: one for name, one in (("a", a), ("b", b)) if isinstance(one, Refusal)}
    faults = [Fault(f"/{name}{fault.pointer}", fault.message) for name, one in refusals.items() for fault in one.faults]
    # A kind of its own, such as a version that is not here, is kept where nothing else is wrong.
    kinds = {type(one) for one in refusals.values()}
    raise (kinds.pop() if len(kinds) == 1 else Refusal)(*faults)


def _dated(asked: Mapping[str, Any], answer: PriceAnswer) -> dict[str, Any]:
    return {**asked, "as_of": answer.as_of.isoformat()}


def _side(answer: PriceAnswer) -> Compared:
    return Compared(answer.total, answer.unit_price, answer.quantity, answer.as_of, answer.rate_card, answer.shop_data)
