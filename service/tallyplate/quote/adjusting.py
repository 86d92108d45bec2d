"""What is agreed with a customer about a list price: discounts and overrides, each a line of its own."""

from collections.abc import Iterator
from fractions import Fraction

from tallyplate import money
from tallyplate.contract import refuse
from tallyplate.decoding import shown
from tallyplate.inquiry import MoneyText
from tallyplate.quote.content import QuoteLine
from tallyplate.quote.particulars import Override
from tallyplate.rates.card import RateCard
from tallyplate.rates.quoting import PriceList, QuoteTerms


def terms(card: RateCard) -> QuoteTerms:
    """What a card says of quotes; refuses one that says nothing."""
    if not card.quotes:
        raise refuse(
            "/quote", f"rate card {card.id} states nothing about quotes; accepted: one with a section [quotes]"
        )
    return card.quotes


def granted(account: str | None, card: RateCard) -> PriceList | None:
    """The price list of an account; refuses one that the card does not know."""
    price_list = terms(card).price_list(account) if account else None
    if account and price_list is None:
        message = f"{shown(account)} is no account of rate card {card.id}; accepted: none, or one of its customers"
        raise refuse("/quote/customer/account", message)
    return price_list


def minor(amount: MoneyText, pointer: str, card: RateCard) -> int:
    """A stated amount in minor units; refuses another currency and parts of a minor unit."""
    figure, currency = amount.split(" ")
    whole, _, decimals = figure.partition(".")
    if currency != card.currency:
        raise refuse(pointer, f"{amount!r} is not in the currency of the rate card; accepted: {card.currency}")
    if len(decimals) > card.minor_digits:
        raise refuse(pointer, f"{amount!r} has parts of a minor unit; {currency} has {card.minor_digits} decimals")
    return int(whole + decimals.ljust(card.minor_digits, "0"))


def adjusted(
    total: int, price_list: PriceList | None, override: Override | None, card: RateCard
) -> tuple[tuple[QuoteLine, ...], int]:
    """The lines that lead from a list total to what is asked for, and that, in minor units."""
    lines: list[QuoteLine] = []
    if price_list and (off := price_list.discount(total, card.rounding)):
        lines.append(_line(price_list.title, -off, card, "; ".join(_steps(price_list, total, card))))
        total -= off
    if override and (change := minor(override.total, "/quote/override/total", card) - total):
        lines.append(_line(f"Price settled by {override.by}", change, card))
        total += change
    return tuple(lines), total


def _steps(price_list: PriceList, total: int, card: RateCard) -> Iterator[str]:
    """The steps that a total reaches, in words."""
    for step in price_list.steps:
        start = step.from_total.minor
        if start < total:
            beyond = f" of what is above {money.text(start, card.minor_digits)}" if start else ""
            yield f"{float(100 * Fraction(step.discount.text)):g} %{beyond}"


def _line(item: str, amount: int, card: RateCard, basis: str = "") -> QuoteLine:
    sign = "-" if amount < 0 else ""
    return QuoteLine(item, 1, "order", sign + money.text(abs(amount), card.minor_digits), basis)
