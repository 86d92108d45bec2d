"""Kinds of work and items that a price list names, and the cost modules without them.

What an item adds to a price is the price less that of the very same order without the item, with stock, overhead,
margin and minimum as they then come out. So a price and what is left without an item both keep the laws, and a price
with a share of the difference taken off lies between the two and keeps them too (`tallyplate.quote.adjusting`).
"""

from collections.abc import Iterable, Iterator, Mapping

from msgspec.structs import replace

from tallyplate.contract import Build, Charge, CostModule, Line, Order, ShopData, Stage
from tallyplate.decoding import shown
from tallyplate.rates.quoting import AgreedPrice, QuoteTerms


def named(agreed: AgreedPrice, item: str) -> bool:
    """Whether an agreed price is on an item of its module: on any, or on those that begin with its words."""
    words = agreed.item
    return not words or item == words or item.startswith((f"{words} ", f"{words},"))


def without(modules: Mapping[str, CostModule], agreed: AgreedPrice) -> dict[str, CostModule]:
    """The modules, of which one no longer charges what an agreed price is on."""
    module = modules[agreed.module]

    def charges(
        build: Build, order: Order, shop: ShopData, rates: object, earlier: tuple[Line, ...]
    ) -> Iterable[Charge]:
        return (one for one in module.charges(build, order, shop, rates, earlier) if not named(agreed, one.item))

    return {**modules, agreed.module: replace(module, charges=charges)}


def dangling(terms: QuoteTerms, modules: Mapping[str, CostModule]) -> Iterator[tuple[tuple[str, ...], str]]:
    """Agreed prices on what is no kind of work on a plate: at which key, and why."""
    known = [name for name, module in modules.items() if module.stage is Stage.MAKE]
    for account, price_list in terms.price_lists.items():
        for name, agreed in price_list.agreed.items():
            if agreed.module not in known:
                path = ("quotes", "price_lists", account, "agreed", name, "module")
                yield (
                    path,
                    f"{shown(agreed.module)} is no kind of work on a plate; accepted: {', '.join(sorted(known))}",
                )
