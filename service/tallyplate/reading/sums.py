"""Sums of money with their currency: $4500, 4,500 dollars, EUR 4.500,00, 4.5k USD."""

import re
from collections.abc import Sequence
from decimal import Decimal
from typing import Final

from tallyplate.money import minor_digits
from tallyplate.reading.items import Made, Named, item
from tallyplate.reading.tokens import Token

CURRENCIES: Final = {
    "eur": "EUR",
    "euro": "EUR",
    "euros": "EUR",
    "\u20ac": "EUR",
    "usd": "USD",
    "gbp": "GBP",
    "\u00a3": "GBP",
}
DOLLARS: Final = frozenset(("$", "dollar", "dollars", "bucks"))
DOLLAR_CURRENCIES: Final = ("USD", "CAD", "AUD", "NZD", "SGD")

MOST_DECIMALS: Final = 2
"""Decimals of a currency beyond which three digits behind a mark could be either."""

LONGEST: Final = 16
"""Characters of the longest sum that is read."""


def found(tokens: Sequence[Token], at: int, currency: str) -> Made | None:
    """The sum that begins at a token; `currency` is that of the rate card."""
    token = tokens[at]
    names = {**CURRENCIES, currency.lower(): currency}
    if token.text in {*names, *DOLLARS} and at + 1 < len(tokens):
        near = tokens[at + 1].start - token.end <= 1
        return _made(tokens, (at, at + 1), token.text, currency) if near and not token.before.isalnum() else None
    if token.kind != "figure" or token.before.isalnum() or token.before in {"-", "/"}:
        return None
    then = at + 1
    then += then < len(tokens) and tokens[then].text == "k" and tokens[then].start == tokens[at].end
    if then < len(tokens) and tokens[then].text in {*names, *DOLLARS}:
        return _made(tokens, (at, at), tokens[then].text, currency)
    return None


def _made(tokens: Sequence[Token], places: tuple[int, int], named: str, currency: str) -> Made | None:
    first, at = places
    if tokens[at].kind != "figure":
        return None
    after = at + 1
    thousands = after < len(tokens) and tokens[after].text == "k" and tokens[after].start == tokens[at].end
    after += thousands
    because = ""
    if named in DOLLARS:
        code = currency if currency in DOLLAR_CURRENCIES else "USD"
        because = f"the rate card is in {code}" if code == currency else ""
    else:
        code = CURRENCIES.get(named, named.upper())
    if first == at or (after < len(tokens) and tokens[after].text == code.lower()):
        after += 1
    try:
        amount = _amount(tokens[at].text, minor_digits(code))
    except ValueError:
        return None
    if amount is None:
        why = "its dots and commas part neither thousands nor decimals"
        return item("sum", tokens, first, after, Named(None, (), why))
    text = f"{amount * 1000 if thousands else amount:f}"
    whole = f"{text.rstrip('0').rstrip('.') if '.' in text else text} {code}"
    if code != currency:
        return item(
            "sum", tokens, first, after, Named(None, (), f"{whole} is not in the rate card's {currency}", absent=True)
        )
    return item("sum", tokens, first, after, Named(whole, because=because))


def _amount(text: str, digits: int) -> Decimal | None:
    """The amount of a figure. Three digits behind a mark are thousands, unless the currency has three decimals."""
    if len(text) > LONGEST or digits > MOST_DECIMALS:
        return None
    marks = [one for one in text if one in ".,"]
    last = max(text.rfind("."), text.rfind(","))
    decimals = text[last + 1 :] if marks else ""
    parted = bool(marks) and len(decimals) <= digits and marks.count(text[last]) == 1
    whole, decimals = (text[:last], decimals) if parted else (text, "")
    grouping = {one for one in whole if one in ".,"}
    if len(grouping) > 1 or (grouping and parted and grouping == {text[last]}):
        return None
    if grouping and not re.fullmatch(r"[0-9]{1,3}([.,][0-9]{3})+", whole):
        return None
    if marks and not parted and not grouping:
        return None
    return Decimal(f"{re.sub('[.,]', '', whole) or '0'}.{decimals or '0'}")
