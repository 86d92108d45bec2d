"""Quotes by an installation: a plate or a set priced and quoted, and an old quote beside today's price."""

from collections.abc import Iterator, Mapping
from datetime import date
from functools import partial
from typing import Any, Final

from msgspec import UNSET, Struct, UnsetType
from msgspec.structs import replace

from tallyplate.answers import PriceAnswer, Version
from tallyplate.contract import Build, Fault, Refusal, ShopData, refuse, together
from tallyplate.decoding import convert
from tallyplate.findings import Severity
from tallyplate.inquiry import inquiry_hook
from tallyplate.installation import Form, Installation
from tallyplate.money import count, minor_digits, text
from tallyplate.outside import SellingAnswer, SellingLine, outside
from tallyplate.pricing import unit_price
from tallyplate.quote.adjusting import adjusted, granted
from tallyplate.quote.content import Quote, QuoteLine, QuotePlate
from tallyplate.quote.making import Listed, Priced, quoted
from tallyplate.quote.particulars import DATES, SETTLED, Particulars
from tallyplate.quote.words import title
from tallyplate.rates.agreed import without
from tallyplate.rates.card import RateCard
from tallyplate.rates.quoting import AgreedPrice, PriceList
from tallyplate.sets.answers import SetAnswer, set_answer
from tallyplate.sets.inquiry import MOST_PLATES, is_set
from tallyplate.sets.outside import set_outside
from tallyplate.sets.priced import PricedSet, price_set
from tallyplate.sets.selling import SoldSet, sold
from tallyplate.tradeoffs.selling import SellingComparison, compare_selling

KEY: Final = "quote"
"""The member of a request that says of a quote what a price request does not."""

OF_THE_HOUSE: Final = ("as_of", "pins")
"""What of a price request chooses other rates than today's."""


class Quoted(Struct, frozen=True):
    """A quote, and what only the house sees of it: the price with its cost lines, and the plates that would be made."""

    quote: Quote
    said: Particulars
    price: PriceAnswer | SetAnswer
    builds: tuple[Build, ...]
    shop: ShopData


class Asked(Struct, frozen=True):
    """What a quote is asked for, priced: in both forms, and as it would be made."""

    price: PriceAnswer | SetAnswer
    selling: SellingAnswer
    title: str
    plates: tuple[QuotePlate, ...]
    builds: tuple[Build, ...]
    card: RateCard
    shop: ShopData


class TodaysPrice(Struct, frozen=True, omit_defaults=True):
    """What the same plate costs today: from the quote (a) to today's price (b), or why there is none."""

    as_of: date
    rate_card: Version | UnsetType = UNSET
    shop_data: Version | UnsetType = UNSET
    comparison: SellingComparison | UnsetType = UNSET
    refused: tuple[Fault, ...] = ()


def quote(
    request: object,
    installation: Installation,
    form: Form,
    today: date,
    *,
    may_settle: bool = False,
    most_plates: int = MOST_PLATES,
) -> Quoted:
    """Quote a request given as plain data; refuses every fault of the price request and of its `quote` at once.

    Refuses also a plate that cannot be made, in the outside form what only the house may say, and a price settled by
    hand from a caller who may settle none.
    """
    if not isinstance(request, dict) or KEY not in request:
        raise refuse(f"/{KEY}", "is required and missing")
    wanted, asked = request[KEY], {name: value for name, value in request.items() if name != KEY}
    issued = _issued(wanted, today)
    one, said = together(
        partial(_asked, asked, installation, issued, most_plates),
        partial(convert, wanted, Particulars, inquiry_hook, f"/{KEY}"),
    )
    faults = [*_unmakeable(one.selling), *_reserved(wanted, asked, form, may_settle)]
    if one.plates and said.quantities:
        faults.append(Fault(f"/{KEY}/quantities", "a set is quoted as it stands; accepted: none"))
    if faults:
        raise Refusal(*faults)
    how = (issued, installation, granted(said.customer.account or None, one.card))
    others = [_at(quantity, asked, *how) for quantity in sorted({*said.quantities})]
    listed = _listed(asked, one.selling, *how)
    made = quoted(Priced(one.title, asked, listed, others, one.plates), said, one.card, issued)
    return Quoted(made, said, one.price, one.builds, one.shop)


def _asked(asked: dict[str, Any], installation: Installation, day: date, most_plates: int) -> Asked:
    """A request priced, of a plate or of a set."""
    if is_set(asked):
        whole = price_set(asked, installation, day, most_plates)
        set_ = _sold(whole, installation)
        price = set_answer(whole, installation.versions)
        return Asked(price, set_.price, set_.title, set_.plates, set_.builds, whole.card, whole.shop)
    price_of_one = installation.price(asked, day)
    made = installation.build(asked, day)
    named = title(installation.families[made.inquiry.family], made.build, made.shop)
    selling = outside(price_of_one, installation.modules, made.card.minor_digits)
    return Asked(price_of_one, selling, named, (), (made.build,), made.card, made.shop)


def _sold(priced: PricedSet, installation: Installation) -> SoldSet:
    """A set as it is sold, its services on lines of their own and no longer in what its plates bear."""
    whole, digits = sold(priced, installation), priced.card.minor_digits
    titles = {one.title or name for name, one in installation.modules.items() if one.optional and one.reads_order}
    services: dict[str, int] = {}
    plates = []
    for plate, borne in zip(whole.plates, set_outside(priced, installation.modules).plates, strict=True):
        served = [(line.item, count(line.amount, digits)) for line in borne.lines if line.item in titles]
        for item, amount in served:
            services[item] = services.get(item, 0) + amount
        left = count(plate.amount, digits) - sum(amount for _, amount in served)
        each = text(unit_price(left, plate.quantity), digits)
        plates.append(replace(plate, amount=text(left, digits), unit_price=each))
    lines = (
        *(SellingLine(one.title, one.quantity, "plate", one.amount) for one in plates),
        *(SellingLine(item, 1, "order", text(amount, digits)) for item, amount in services.items()),
    )
    return replace(whole, plates=tuple(plates), price=replace(whole.price, lines=lines))


def _selling(request: Mapping[str, Any], installation: Installation, day: date) -> SellingAnswer:
    """What a plate or a set sells for, in the outside form."""
    if is_set(request):
        return _sold(price_set(request, installation, day), installation).price
    price = installation.price(request, day)
    return outside(price, installation.modules, minor_digits(price.currency))


def _issued(wanted: Any, today: date) -> date:  # noqa: ANN401 - JSON, not yet read
    """The date of issue, by which rates are chosen; a date that cannot be read is named when the rest is."""
    try:
        return date.fromisoformat(wanted["issued_on"])
    except (TypeError, KeyError, ValueError):
        return today


def _unmakeable(price: SellingAnswer) -> Iterator[Fault]:
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
        return _listed(request, _selling(request, installation, issued), issued, installation, price_list)
    except Refusal as refusal:
        raise Refusal(*(Fault(f"/{KEY}/quantities", fault.message) for fault in refusal.faults)) from None


def _listed(
    request: Mapping[str, Any],
    price: SellingAnswer,
    issued: date,
    installation: Installation,
    price_list: PriceList | None,
) -> Listed:
    """A price in the outside form, beside what the item of each agreed price of a list adds to it."""
    digits, agreed = minor_digits(price.currency), price_list.agreed if price_list else {}
    total = count(price.total, digits)
    added = {
        name: total - count(_selling(request, _leaving_out(one, installation), issued).total, digits)
        for name, one in agreed.items()
    }
    return Listed(price, added)


def _leaving_out(agreed: AgreedPrice, installation: Installation) -> Installation:
    """The same installation, of which one module no longer charges what an agreed price is on."""
    here, modules = installation, without(installation.modules, agreed)
    return Installation(here.families, modules, here.cards, here.shops, here.versions)


def beside_today(old: Quote, installation: Installation, today: date) -> TodaysPrice:
    """An old quote beside what the same plate or set, for the same customer, costs today."""
    try:
        price = _selling(old.request, installation, today)
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
