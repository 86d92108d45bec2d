"""What the laws compare: totals and lines, of builds and of requests, in minor units of the card's currency."""

import json
from collections import Counter
from datetime import date
from typing import Final

from hypothesis import reject
from msgspec.structs import replace

from tallyplate.contract import Build, Order, Refusal, ShopData, Stage
from tallyplate.pricing import Modules, Priced, price
from tallyplate.rates.card import RateCard
from tests.plates import installation
from tests.strategies import AS_OF, CARD, SHOP, Json, build_of

MODULES: Final = dict(installation().modules)
EVERY: Final = Modules.of(MODULES)


def priced(
    build: Build, quantity: int = 1, shop: ShopData = SHOP, card: RateCard = CARD, modules: Modules = EVERY
) -> Priced:
    """An order for a build, priced by the engine."""
    return price(build, Order(quantity, date.fromisoformat(AS_OF)), shop, card, modules)


def cost(build: Build, quantity: int = 1) -> int:
    """The total of an order for a build."""
    return priced(build, quantity).total


def one_blank(build: Build) -> Build:
    """The same build, to be cut from its first blank alone."""
    return replace(build, other_blanks=())


def parts(order: Priced) -> Counter[tuple[str, str]]:
    """What an order comes to, by module and by the work centre that is paid, if any.

    Not what fills it up to its least, which is less the more the rest is.
    """
    asked: Counter[tuple[str, str]] = Counter()
    for line in order.lines:
        if MODULES[line.of.module].stage is not Stage.ORDER:
            asked[line.of.module, line.of.work_center] += line.amount
    return asked


def cheaper_parts(larger: Priced, smaller: Priced) -> list[tuple[str, str]]:
    """In which parts an order comes to less than another: what is dearer elsewhere must not cover it up."""
    less, more = parts(smaller), parts(larger)
    return [part for part in less if more[part] < less[part]]


def cheaper(larger: Build, smaller: Build, quantity: int) -> list[tuple[str, str]]:
    """In which parts the larger build comes to less, each cut from its first blank; and the whole, cut from any."""
    found = [] if cost(larger, quantity) >= cost(smaller, quantity) else [("total", "")]
    if larger.blank.form == smaller.blank.form:
        found += cheaper_parts(priced(one_blank(larger), quantity), priced(one_blank(smaller), quantity))
    return found


def made(plate: Json) -> Build:
    """The build of a plate; a plate that is refused is no example."""
    try:
        return build_of(plate)
    except Refusal:
        reject()


def answered(request: Json, today: date | None = None) -> bytes:
    """The answer to a request, as JSON; a request that is refused is no example."""
    try:
        return installation().price_json(json.dumps(request).encode(), today)
    except Refusal:
        reject()
