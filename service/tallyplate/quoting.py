"""Quotes by an installation: a request priced and quoted, and an old quote beside today's price."""

from collections.abc import Iterator, Mapping
from datetime import date
from functools import partial
from typing import Any, Final

from msgspec import UNSET, Struct, UnsetType
from msgspec.structs import replace

from tallyplate.answers import PriceAnswer, Version
from tallyplate.asked import Made
from tallyplate.contract import Fault, Refusal, refuse, together
from tallyplate.decoding import convert
from tallyplate.findings import Severity
from tallyplate.inquiry import inquiry_hook
from tallyplate.installation import Form, Installation
from tallyplate.money import count, minor_digits, text
from tallyplate.outside import SellingAnswer, SellingLine, outside
from tallyplate.quote.adjusting import adjusted, granted
from tallyplate.quote.content import Quote, QuoteLine
from tallyplate.quote.making import Listed, Priced, quoted
from tallyplate.quote.particulars import DATES, SETTLED, Particulars
from tallyplate.quote.words import title
from tallyplate.rates.agreed import without
from tallyplate.rates.quoting import AgreedPrice, PriceList
from tallyplate.tradeoffs.selling import SellingComparison, compare_selling

KEY: Final = "quote"
"""The member of a request that says of a quote what a price request does not."""

OF_THE_HOUSE: Final = ("as_of", "pins")
"""What of a price request chooses other rates than today's."""


class Quoted(Struct, frozen=True):
    """A quote, and what only the house sees of it: the price with its cost lines, and the plate that would be made."""

    quote: Quote
    said: Particulars
    price: PriceAnswer
    made: Made


class TodaysPrice(Struct, frozen=True, omit_defaults=True):
    """What the same plate costs today: from the quote (a) to today's price (b), or why there is none."""

    as_of: date
    rate_card: Version | UnsetType = UNSET
    shop_data: Version | UnsetType = UNSET
    comparison: SellingComparison | UnsetType = UNSET
    refused: tuple[Fault, ...] = ()


def quote(request: object, installation: Installation, form: Form, today: date, *, may_settle: bool = False) -> Quoted:
    """Quote a request given as plain data; refuses every fault of the price request and of its `quote` at once.

    Refuses also a plate that cannot be made, in the outside form what only the house may say, and a price settled by
    hand from a caller who may settle none.
    """
    if not isinstance(request, dict) or KEY not in request:
        raise refuse(f"/{KEY}", "is required and missing")
    wanted, asked = request[KEY], {name: value for name, value in request.items() if name != KEY}
    issued = _issued(wanted, today)
    price, said = together(
        partial(installation.price, asked, issued), partial(convert, wanted, Particulars, inquiry_hook, f"/{KEY}")
    )
    faults = [*_unmakeable(price), *_reserved(wanted, asked, form, may_settle)]
    if faults:
        raise Refusal(*faults)
    made = installation.build(asked, issued)
    how = (issued, installation, granted(said.customer.account or None, made.card))
    others = [_at(quantity, asked, *how) for quantity in sorted({*said.quantities})]
    named = title(installation.families[made.inquiry.family], made.build, made.shop)
    listed = _listed(asked, price, *how)
    return Quoted(quoted(Priced(named, asked, listed, others), said, made.card, issued), said, price, made)


def _issued(wanted: Any, today: date) -> date:  # noqa: ANN401 - JSON, not yet read
    """The date of issue, by which rates are chosen; a date that cannot be read is named when the rest is."""
    try:
        return date.fromisoformat(wanted["issued_on"])
    except (TypeError, KeyError, ValueError):
        return today


def _unmakeable(price: PriceAnswer) -> Iterator[Fault]:
    """Why a plate cannot be made, one fault a place."""
    errors = [finding for finding in price.findings if finding.severity is Severity.ERROR]
    for pointer in dict.fromkeys(finding.pointer for finding in errors):
        reasons = "; ".join(finding.message for finding in errors if finding.pointer == pointer)
        yield Fault(pointer, f"cannot be quoted, since it cannot be made: {reasons}")


def _reserved(wanted: Mapping[str, Any], asked: Mapping[str, Any], form: Form, may_settle: bool) -> Iterator[Fault]:
    """What a caller says that it may not: what chooses other rates than today's, and a price settled by hand."""
    if not may_settle and SETTLED in wanted:
        yield Fault(f"/{KEY}/{SETTLED}", "asks for the scope override; accepted: none from this caller")
    if form is Form.INSIDE:
        return
    places = {f"/{name}": name in asked for name in OF_THE_HOUSE}
    places |= {f"/{KEY}/{name}": name in wanted for name in DATES}
    places[f"/{KEY}/customer/account"] = "account" in wanted["customer"]
    for pointer, there in places.items():
        if there:
            yield Fault(pointer, "is the house's to say and asks for the scope cost; accepted: none from this caller")


def _at(
    quantity: int, asked: Mapping[str, Any], issued: date, installation: Installation, price_list: PriceList | None
) -> Listed:
    request = {**asked, "quantity": quantity}
    try:
        return _listed(request, installation.price(request, issued), issued, installation, price_list)
    except Refusal as refusal:
        raise Refusal(*(Fault(f"/{KEY}/quantities", fault.message) for fault in refusal.faults)) from None


def _listed(
    request: Mapping[str, Any],
    price: PriceAnswer,
    issued: date,
    installation: Installation,
    price_list: PriceList | None,
) -> Listed:
    """A price in the outside form, beside what the item of each agreed price of a list adds to it."""
    digits, agreed = minor_digits(price.currency), price_list.agreed if price_list else {}
    total = count(price.total, digits)
    added = {
        name: total - count(_leaving_out(one, installation).price(request, issued).total, digits)
        for name, one in agreed.items()
    }
    return Listed(outside(price, installation.modules, digits), added)


def _leaving_out(agreed: AgreedPrice, installation: Installation) -> Installation:
    """The same installation, of which one module no longer charges what an agreed price is on."""
    here, modules = installation, without(installation.modules, agreed)
    return Installation(here.families, modules, here.cards, here.shops, here.versions)


def beside_today(old: Quote, installation: Installation, today: date) -> TodaysPrice:
    """An old quote beside what the same plate, for the same customer, costs today."""
    try:
        price = installation.price(old.request, today)
        card, _ = installation.in_force(today)
        if price.currency != old.currency:
            raise refuse("", f"today's prices are in {price.currency}, the quote is in {old.currency}")
    except Refusal as refusal:
        return TodaysPrice(today, refused=refusal.faults)
    account = old.customer.account
    price_list = card.quotes.price_list(account) if card.quotes and account else None
    listed = _listed(old.request, price, today, installation, price_list)
    selling = listed.price
    lines, total = adjusted(count(price.total, card.minor_digits), listed.added, price_list, None, card)
    now = _adjusted(selling, selling.lines, lines, text(total, card.minor_digits))
    then = _adjusted(selling, old.lines, old.adjustments, old.total)
    return TodaysPrice(today, price.rate_card, price.shop_data, compare_selling(then, now))


def _adjusted(
    like: SellingAnswer, lines: tuple[SellingLine | QuoteLine, ...], adjustments: tuple[QuoteLine, ...], total: str
) -> SellingAnswer:
    """A price in the outside form whose lines lead to what is asked for."""
    every = tuple(SellingLine(line.item, line.quantity, line.unit, line.amount) for line in (*lines, *adjustments))
    return replace(like, lines=every, total=total)
