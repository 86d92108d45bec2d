"""From a price and what a caller says of a quote to the quote: dated, numbered, and in the outside form only."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, time, timedelta
from typing import Any

from msgspec import UNSET, Struct, UnsetType

from tallyplate import money
from tallyplate.contract import refuse
from tallyplate.findings.promises import after_working_days
from tallyplate.outside import SellingAnswer
from tallyplate.pointers import applied
from tallyplate.pricing import unit_price
from tallyplate.quote.adjusting import adjusted, granted, minor, terms
from tallyplate.quote.content import (
    FORMAT,
    AgreedTerms,
    AssumedAnswer,
    Dispatch,
    MadeFrom,
    QuantityPrice,
    Quote,
    QuoteFinding,
    QuoteLine,
    QuotePlate,
    StatedAmount,
)
from tallyplate.quote.number import numbered
from tallyplate.quote.particulars import Particulars, Stated
from tallyplate.rates.card import RateCard
from tallyplate.rates.quoting import PriceList

REMAKING = ("plate", "quantity", "plates", "need_by", "services")
"""What of a request makes the same plate or set on another day: neither a date of rates nor versions, and no budget."""

CALLERS = {"over-budget"}
"""Findings about what only the caller needs to know."""


class Listed(Struct, frozen=True):
    """A list price in the outside form, and what the item of each of the customer's agreed prices adds to it."""

    price: SellingAnswer
    added: Mapping[str, int] = {}


class Priced(Struct, frozen=True):
    """What a quote is made from: the plate, or the set, in words, its request, and its prices."""

    title: str
    request: Mapping[str, Any]
    listed: Listed
    others: Sequence[Listed] = ()
    plates: tuple[QuotePlate, ...] = ()


def quoted(priced: Priced, said: Particulars, card: RateCard, today: date) -> Quote:
    """The quote; refuses dates out of order, accounts that are not here, and money that is not the card's."""
    told, digits = terms(card), card.minor_digits
    issued = said.issued_on or today
    until = said.valid_until or issued + timedelta(days=int(told.valid))
    if until < issued:
        raise refuse("/quote/valid_until", f"{until} is before the day of issue; accepted: {issued} or later")
    price_list = granted(said.customer.account or None, card)
    price, added = priced.listed.price, priced.listed.added
    adjustments, total = adjusted(money.count(price.total, digits), added, price_list, said.override or None, card)
    apart = {name: stated for name in ("freight", "tax") if (stated := getattr(said, name))}
    amounts = {name: minor(stated.amount, f"/quote/{name}/amount", card) for name, stated in apart.items()}
    return numbered(
        Quote(
            format=FORMAT,
            number="",
            replaces=said.replaces,
            issued_on=issued,
            valid_until=until,
            nbf=_moment(issued, card),
            exp=_moment(until + timedelta(days=1), card),
            seller=told.seller,
            customer=said.customer,
            reference=said.reference,
            note=said.note,
            title=priced.title,
            request=_remaking(priced.request, price),
            quantity=price.quantity,
            currency=price.currency,
            lines=tuple(QuoteLine(line.item, line.quantity, line.unit, line.amount) for line in price.lines),
            list_total=price.total,
            adjustments=adjustments,
            total=money.text(total, digits),
            unit_price=money.text(unit_price(total, price.quantity), digits),
            freight=_stated(said.freight, amounts.get("freight", 0), digits),
            tax=_stated(said.tax, amounts.get("tax", 0), digits),
            payable=money.text(total + sum(amounts.values()), digits),
            quantity_prices=tuple(_at(other, price_list, card) for other in priced.others),
            assumed=tuple(AssumedAnswer(one.pointer, one.value, one.why) for one in price.assumed),
            findings=tuple(
                QuoteFinding(one.code, one.severity.value, one.message)
                for one in price.findings
                if one.code not in CALLERS
            ),
            plates=priced.plates,
            dispatch=Dispatch(
                price.mass.each,
                price.mass.total,
                price.lead_time.working_days,
                after_working_days(issued, price.lead_time.working_days),
            ),
            terms=AgreedTerms(told.payment, told.delivery, told.terms),
            as_of=price.as_of,
            rate_card=MadeFrom(price.rate_card.id, price.rate_card.digest),
            shop_data=MadeFrom(price.shop_data.id, price.shop_data.digest),
        )
    )


def _moment(day: date, card: RateCard) -> int:
    """The moment that a day begins where the seller is, in seconds since 1970."""
    return int(datetime.combine(day, time.min, card.time_zone).timestamp())


def _remaking(request: Mapping[str, Any], price: SellingAnswer) -> dict[str, Any]:
    """The request with every assumed answer filled in, so that shop data with other habits make the same plate."""
    kept = {name: request[name] for name in REMAKING if name in request}
    return applied(kept, {one.pointer: one.value for one in price.assumed})


def _stated(stated: Stated | UnsetType, amount: int, digits: int) -> StatedAmount | UnsetType:
    return StatedAmount(money.text(amount, digits), stated.words) if stated else UNSET


def _at(listed: Listed, price_list: PriceList | None, card: RateCard) -> QuantityPrice:
    price = listed.price
    _, total = adjusted(money.count(price.total, card.minor_digits), listed.added, price_list, None, card)
    each = unit_price(total, price.quantity)
    return QuantityPrice(price.quantity, money.text(each, card.minor_digits), money.text(total, card.minor_digits))
