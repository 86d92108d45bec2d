"""What is agreed with a customer about a list price: discounts and overrides, each a line of its own.

First the prices agreed on kinds of work and items. With P the price, R[i] what is left of it without item i, and d[i]
the graduated discount on P - R[i], the customer pays P - sum(d[i]). Each d[i] grows no faster than its highest share
s[i], and the s[i] sum to at most 1. So where P and every R[i] rise, P by x, no P - R[i] rises by more than x, and what
is paid falls by no more than x * (sum(s[i]) - 1), which is nothing: a dearer plate never costs less, and likewise more
plates. Nor is it below nothing, since no d[i] is above s[i] * P. The card checker tries that R[i] keeps the laws.

Then the discount on what is left of the total, then a price that was settled by hand.
"""

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction

from tallyplate import money
from tallyplate.contract import refuse
from tallyplate.decoding import shown
from tallyplate.inquiry import MoneyText
from tallyplate.quote.content import QuoteLine
from tallyplate.quote.particulars import Override
from tallyplate.rates.card import RateCard
from tallyplate.rates.quoting import DiscountStep, PriceList, QuoteTerms


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
    total: int, added: Mapping[str, int], price_list: PriceList | None, override: Override | None, card: RateCard
) -> tuple[tuple[QuoteLine, ...], int]:
    """The lines that lead from a list total to what is asked for, and that, in minor units.

    `added` is what the item of each agreed price of the list adds to the total, by the agreed price's name.
    """
    lines: list[QuoteLine] = []
    if price_list:
        for name, off in price_list.agreed_discounts(total, added, card.rounding).items():
            if off:
                agreed, on = price_list.agreed[name], added[name]
                basis = f"on {money.text(on, card.minor_digits)}: {_steps(agreed.steps, on, card)}"
                lines.append(_line(f"Agreed price: {agreed.title}", -off, card, basis))
                total -= off
        if off := price_list.discount(total, card.rounding):
            lines.append(_line(price_list.title, -off, card, _steps(price_list.steps, total, card)))
            total -= off
    if override and (change := minor(override.total, "/quote/override/total", card) - total):
        lines.append(_line(f"Price settled by {override.by}", change, card))
        total += change
    return tuple(lines), total


def _steps(steps: Iterable[DiscountStep], total: int, card: RateCard) -> str:
    """The steps that a total reaches, in words."""
    return "; ".join(_reached(steps, total, card))


def _reached(steps: Iterable[DiscountStep], total: int, card: RateCard) -> Iterator[str]:
    for step in steps:
        start = step.from_total.minor
        if start < total:
            beyond = f" of what is above {money.text(start, card.minor_digits)}" if start else ""
            yield f"{float(100 * Fraction(step.discount.text)):g} %{beyond}"


def _line(item: str, amount: int, card: RateCard, basis: str = "") -> QuoteLine:
    sign = "-" if amount < 0 else ""
    return QuoteLine(item, 1, "order", sign + money.text(abs(amount), card.minor_digits), basis)
