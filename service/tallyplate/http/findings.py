"""`POST /v1/findings`: what a price's checks say, without the price."""

from datetime import date

import msgspec
from litestar import Response, post
from litestar.types import ControllerRouterHandler
from msgspec import UNSET, Struct, UnsetType

from tallyplate.answers import PriceAnswer, Version
from tallyplate.contract import Assumption
from tallyplate.contract.refusals import UnknownVersion
from tallyplate.findings import Finding
from tallyplate.http.bodies import JSON, AnyRequest, json_body
from tallyplate.inquiry import Inquiry, decode, read
from tallyplate.installation import Installation
from tallyplate.rates.dated import absent_pin, in_force
from tallyplate.reload import Current
from tallyplate.tradeoffs.start import errors


class FindingsAnswer(Struct, frozen=True):
    """The findings of a request, as its price states them.

    Before any rate card is in force the plate is checked all the same: then there is no `rate_card`, and `unchecked`
    points at what only a price could answer.
    """

    can_be_made: bool
    findings: tuple[Finding, ...]
    assumed: tuple[Assumption, ...]
    unchecked: tuple[str, ...]
    as_of: date
    shop_data: Version
    rate_card: Version | UnsetType = UNSET


def handlers(current: Current) -> list[ControllerRouterHandler]:
    """The route, around the installation in force when a request comes."""

    @post("/v1/findings", status_code=200)
    async def findings(request: AnyRequest) -> Response[bytes]:
        """Check a plate."""
        answer = checked(decode(await json_body(request)), current.installation)
        return Response(msgspec.json.encode(answer), media_type=JSON)

    return [findings]


def checked(request: object, installation: Installation, today: date | None = None) -> FindingsAnswer:
    """The findings of a request, also of a day that has shop data and no rate card yet.

    Raises `Refusal` for what is no request or has no geometry, and `PluginFailure` for a plugin that failed.
    """
    return installation.thorough(lambda one: _checked(one, installation, today), request)


def _checked(request: object, installation: Installation, today: date | None) -> FindingsAnswer:
    inquiry = read(request, installation.families)
    as_of = inquiry.as_of or today or installation.today()
    priced = bool(inquiry.pins.rate_card) or installation.cards[0].effective_from <= as_of
    answer = installation.tried(request, as_of) if priced else _of_plate(inquiry, as_of, installation)
    promised = {"/budget": inquiry.budget, "/need_by": inquiry.need_by}
    return FindingsAnswer(
        can_be_made=not errors(answer),
        findings=answer.findings,
        assumed=answer.assumed,
        unchecked=() if priced else tuple(pointer for pointer, promise in promised.items() if promise),
        as_of=as_of,
        shop_data=answer.shop_data,
        rate_card=answer.rate_card if priced else UNSET,
    )


def _of_plate(inquiry: Inquiry, as_of: date, installation: Installation) -> PriceAnswer:
    """A price whose findings are the plate's alone: without promises, under a card that need not be in force."""
    shops, pinned = installation.shops, inquiry.pins.shop_data
    absent = list(absent_pin(shops, pinned, "shop_data"))
    if absent:
        raise UnknownVersion(*absent)
    shop = in_force(shops, as_of, pinned or None, "shop_data")
    request: dict[str, object] = {"plate": inquiry.asked}
    if not inquiry.assumed:
        request["quantity"] = inquiry.quantity
    return installation.price_under(request, installation.cards[0], shop, as_of)
