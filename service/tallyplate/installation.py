"""The one composition root: entry points and files become one frozen value, and that value prices."""

from collections.abc import Callable, Mapping
from datetime import UTC, date, datetime
from enum import Enum
from functools import cache, lru_cache
from importlib.metadata import version
from pathlib import Path
from typing import TypeVar

import msgspec

from tallyplate.answers import LeadTime, PriceAnswer, Versions, price_answer
from tallyplate.asked import Asked, Known, Made
from tallyplate.checking import built, checked
from tallyplate.contract import (
    CONTRACT,
    CostModule,
    Family,
    Refusal,
    ShopData,
    Usual,
    refuse,
    together,
)
from tallyplate.contract.refusals import UnknownVersion
from tallyplate.discovery import COSTS, FAMILIES, PluginError, demo_data, distributions, plugins
from tallyplate.every_fault import every_fault
from tallyplate.findings import Case, Offer, in_order, of_offer
from tallyplate.findings.promises import after_working_days
from tallyplate.inquiry import Budget, Inquiry, Pins, decode, read
from tallyplate.money import minor_digits
from tallyplate.outside import outside
from tallyplate.pricing import Modules, days_of, hours, price_work, work_out
from tallyplate.rates.card import RateCard
from tallyplate.rates.dated import absent_pin, in_force, in_force_together
from tallyplate.rates.files import DataError
from tallyplate.rates.heads import CardHead, ShopHead
from tallyplate.rates.load import cards_and_shops, mismatches

Answer = TypeVar("Answer")

PLATES = 1024
"""Plates that are remembered, each some twenty kilobytes."""

MOST_DAYS = 500_000
"""Working days that an order may take: within so many, dates are sure to exist."""

ANSWERS = 2048
"""Answers that are remembered, each some seven kilobytes."""

REMEMBERED = 4096
"""Longest request in bytes whose answer is remembered."""


class Form(Enum):
    """Who an answer is for: the house, with cost, rates, hours and margin, or customers, with selling amounts only."""

    INSIDE = "inside"
    OUTSIDE = "outside"


class Installation:
    """Everything that prices: families, cost modules, rate cards and shop data, each by date. Never changed.

    Answers are a function of the request and the date, so that both whole answers and what is known of a plate are
    remembered, within bounds: callers ask again, and for the same plate in other quantities.
    """

    def __init__(
        self,
        families: Mapping[str, Family],
        modules: Mapping[str, CostModule],
        cards: tuple[RateCard, ...],
        shops: tuple[ShopData, ...],
        versions: Versions,
    ) -> None:
        self.families, self.modules, self.cards, self.shops = families, modules, cards, shops
        self.versions = versions
        self._in_order = Modules.of(modules)
        self._known = lru_cache(maxsize=PLATES)(self._know)
        self._answered = lru_cache(maxsize=ANSWERS)(self._answer_json)

    def today(self, now: datetime | None = None) -> date:
        """The date, now, in the time zone of the newest rate card. The clock is read here and nowhere below."""
        return (now or datetime.now(UTC)).astimezone(self.cards[-1].time_zone).date()

    def in_force(self, day: date) -> tuple[RateCard, ShopData]:
        """The rate card and shop data of a date; raises `Refusal` where none has begun."""
        return in_force(self.cards, day, None, "rate_card"), in_force(self.shops, day, None, "shop_data")

    def versions_for(self, day: date, pins: Pins) -> tuple[RateCard, ShopData]:
        """The pinned rate card and shop data, or those of a date; raises `UnknownVersion`, and `Refusal` as above."""
        absent = [*absent_pin(self.cards, pins.rate_card, "rate_card")]
        absent += absent_pin(self.shops, pins.shop_data, "shop_data")
        if absent:
            raise UnknownVersion(*absent)
        card = in_force(self.cards, day, pins.rate_card or None, "rate_card")
        return card, in_force(self.shops, day, pins.shop_data or None, "shop_data")

    def price(self, request: object, today: date | None = None) -> PriceAnswer:
        """Price a request given as plain data; `today` is the date of a request that states none.

        Raises `Refusal` for a request that cannot be priced, with every fault, and `PluginFailure` for a plugin that
        failed.
        """
        return self.thorough(lambda one: self.tried(one, today), request)

    def tried(self, request: object, today: date | None = None) -> PriceAnswer:
        """The same for one of many tries: a request that cannot be priced is refused with its first faults alone."""
        return self._priced(*self._asked(request, today))

    def thorough(self, ask: Callable[[object], Answer], request: object) -> Answer:
        """What a request is answered; where it is refused, with every fault and not with the first ones alone."""
        try:
            return ask(request)
        except Refusal as refusal:
            raise every_fault(refusal, request, ask, self.families, self.shops[-1]) from None

    def build(self, request: object, today: date | None = None) -> Made:
        """What the shop would make of a request, on the blank that its price is for; refuses what `price` refuses."""
        inquiry, known, _, as_of, shop, card = self.thorough(lambda one: self._asked(one, today), request)
        priced = price_work(known.work, inquiry.order(as_of))
        return Made(inquiry, priced.build, known.findings, as_of, shop, card)

    def asked(self, request: object, today: date | None = None) -> tuple[Inquiry, date, RateCard, ShopData]:
        """A request, read, with its date and the versions that count; raises `Refusal`."""
        inquiry = read(request, self.families)
        as_of = inquiry.as_of or today or self.today()
        return inquiry, as_of, *self.versions_for(as_of, inquiry.pins)

    def asked_under(
        self, request: object, card: RateCard | None, shop: ShopData | None = None, today: date | None = None
    ) -> tuple[Inquiry, date, RateCard, ShopData]:
        """The same under a card or shop data that need not be in force, such as a draft; pins do not count."""
        inquiry = read(request, self.families)
        as_of = inquiry.as_of or today or self.today()
        card = card or in_force(self.cards, as_of, None, "rate_card")
        return inquiry, as_of, card, shop or in_force(self.shops, as_of, None, "shop_data")

    def _asked(
        self, request: object, today: date | None
    ) -> tuple[Inquiry, Known, int | None, date, ShopData, RateCard]:
        inquiry, as_of, card, shop = self.asked(request, today)
        budget, known = together(lambda: budget_under(card, inquiry.budget), lambda: self.known(inquiry, shop, card))
        return inquiry, known, budget, as_of, shop, card

    def known(self, inquiry: Inquiry, shop: ShopData, card: RateCard) -> Known:
        """All about the plate of an inquiry that no order changes; raises `Refusal` and `PluginFailure` as `price`."""
        return self._known(_asked(inquiry), shop, card)

    def price_under(
        self, request: object, card: RateCard | None, shop: ShopData | None = None, today: date | None = None
    ) -> PriceAnswer:
        """Price a request under a card or shop data that need not be in force, such as a draft; pins do not count."""
        inquiry, as_of, card, shop = self.asked_under(request, card, shop, today)
        known, budget = self._know(_asked(inquiry), shop, card), budget_under(card, inquiry.budget)
        return self._priced(inquiry, known, budget, as_of, shop, card)

    def _priced(
        self, inquiry: Inquiry, known: Known, budget: int | None, as_of: date, shop: ShopData, card: RateCard
    ) -> PriceAnswer:
        order = inquiry.order(as_of)
        priced = price_work(known.work, order)
        days, in_turn = days_of(priced, order, shop)
        if days > MOST_DAYS:
            raise refuse("/quantity", f"the order would take {days} working days; accepted: at most {MOST_DAYS}")
        broken = of_offer(Offer(order, shop.id, priced.total, days, budget, card.currency, card.minor_digits, in_turn))
        return price_answer(
            priced,
            quantity=inquiry.quantity,
            findings=in_order((*known.findings, *broken)) if broken else known.findings,
            assumed=(*inquiry.assumed, *known.assumed),
            as_of=as_of,
            worked=hours(priced.lines),
            lead_time=LeadTime(days, after_working_days(as_of, days)),
            card=card,
            shop=shop,
            versions=self.versions,
        )

    def price_json(self, body: bytes, today: date | None = None, form: Form = Form.INSIDE) -> bytes:
        """The same from JSON to JSON, in the inside or the outside form."""
        answer = self._answered if len(body) <= REMEMBERED else self._answer_json
        return answer(body, today or self.today(), form)

    def _answer_json(self, body: bytes, today: date, form: Form) -> bytes:
        answer = self.price(decode(body), today)
        if form is Form.INSIDE:
            return msgspec.json.encode(answer)
        return msgspec.json.encode(outside(answer, self.modules, minor_digits(answer.currency)))

    def _know(self, asked: Asked, shop: ShopData, card: RateCard) -> Known:
        """Build a plate, ask every module what it takes, check it, and look for mends."""
        usual = Usual()
        family = self.families[asked.family]
        build = built(family, asked.family, asked.spec, shop, usual)
        work = work_out(build, shop, card, self._in_order)
        found = checked(family, asked.family, asked.text, Case(build, shop))
        return Known(work, tuple(usual.assumed), found)


def _asked(inquiry: Inquiry) -> Asked:
    return Asked(msgspec.json.encode(inquiry.asked), inquiry.family, inquiry.plate)


def budget_under(card: RateCard, budget: Budget | None) -> int | None:
    """A budget in minor units of the card's currency; refuses another."""
    if budget is None:
        return None
    if budget.currency != card.currency:
        message = f"{budget.currency!r} is not the currency of the rate card; accepted: {card.currency}"
        raise refuse("/budget", message)
    return budget.minor


def load(data: Path | None = None) -> Installation:
    """Everything that is installed, with the rate cards and shop data of a folder (the demonstration's by default).

    The folder holds `rate_cards/*.toml` and `shop_data/*.toml`. Raises `PluginError` or `DataError`, naming what is
    wrong; nothing is loaded by halves.
    """
    families = plugins(FAMILIES, Family)
    modules = plugins(COSTS, CostModule)
    return compose(families, modules, data) if data else demonstration(families, modules)


def demonstration(families: Mapping[str, Family], modules: Mapping[str, CostModule]) -> Installation:
    """Plugins with the demonstration's data, to which each plugin adds what its own examples say.

    Raises `DataError` for an example that does not fit the plugin's own structs.
    """
    return compose(families, modules, demo_data(), examples=True)


def compose(
    families: Mapping[str, Family], modules: Mapping[str, CostModule], data: Path, *, examples: bool = False
) -> Installation:
    """Put plugins and a folder of data together; raises `DataError` with all that does not fit.

    With `examples`, what no file says is taken from the examples of the plugins.
    """
    clashing = sorted(set(families) & set(modules))
    if clashing:
        message = f"both a family and a cost module are named {', '.join(clashing)}"
        raise PluginError(message)
    reserved = sorted({*CardHead.__struct_fields__, *ShopHead.__struct_fields__} & {*families, *modules})
    if reserved:
        message = f"plugin {reserved[0]!r} has the name of a key that every card or all shop data state"
        raise PluginError(message)
    cards, shops = cards_and_shops(data, modules, families, examples=examples)
    problems = sorted(
        {problem for card, shop in in_force_together(cards, shops) for problem in mismatches(card, shop, modules)}
    )
    if problems:
        raise DataError(*problems)
    versions = Versions(version("tallyplate"), CONTRACT, distributions())
    return Installation(families, modules, cards, shops, versions)


@cache
def _demonstration() -> Installation:
    return load()


def price(request: object, installation: Installation | None = None, today: date | None = None) -> PriceAnswer:
    """Price a request with an installation, or with what is installed and the demonstration's data."""
    return (installation or _demonstration()).price(request, today)
