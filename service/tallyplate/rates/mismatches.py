"""What is wrong with a rate card and shop data that are each right by themselves."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Final

from msgspec import Struct
from msgspec.structs import replace

from tallyplate.contract import CostModule, ShopData
from tallyplate.rates.card import RateCard
from tallyplate.rates.sections import problem
from tallyplate.rates.shop import sections_of
from tallyplate.rates.unknown_keys import Gaps, unknown_keys

IN_SHOP_DATA: Final = " (shop data)"
"""How a module ends a gap that is one of its figures and not of its rates."""


def mismatches(card: RateCard, shop: ShopData, modules: Mapping[str, CostModule]) -> Iterator[str]:
    """What a card and shop data in force together leave unpriced, and what they state of things that no shop has."""
    for name, module in sorted(modules.items()):
        if module.optional and (name not in card.sections or (module.figures and name not in shop.sections)):
            continue
        yield from _uncharged(name, module, card, shop)
        if module.gaps:
            rates = card.sections.get(name)
            yield from (_gap(name, gap, card, shop) for gap in module.gaps(rates, shop))
            yield from _unknown(name, module.gaps, card, shop)
    centers = sections_of(shop).folder.centers.union(*(module.work_centers for module in modules.values()))
    for center in card.work_centers:
        if center not in centers:
            yield problem(card.resolved, ("work_centers", center), _stranger(centers))


def _uncharged(name: str, module: CostModule, card: RateCard, shop: ShopData) -> Iterator[str]:
    """Work centres of a module that the card or the shop data lack."""
    needs = f"module {name} charges time to it; `tallyplate plugin example {name}` prints what it needs"
    for center in module.work_centers:
        path = ("work_centers", center)
        if center not in card.work_centers:
            yield problem(card.resolved, path, f"is missing from rate card {card.id}; {needs}")
        if center not in shop.work_centers:
            yield problem(sections_of(shop).resolved, path, f"is missing from shop data {shop.id}; {needs}")


def _gap(module: str, gap: str, card: RateCard, shop: ShopData) -> str:
    """A gap as it is said, of the file that should state it."""
    file, path = sections_of(shop).resolved, (module, *gap.removesuffix(IN_SHOP_DATA).split("."))
    if gap.endswith(IN_SHOP_DATA):
        return problem(file, path, f"is missing from shop data {shop.id}, which offer what needs it")
    reason = f"is missing from rate card {card.id}; shop data {shop.id} ({file.file}) offer it"
    return problem(card.resolved, path, reason)


def _unknown(module: str, gaps: Gaps, card: RateCard, shop: ShopData) -> Iterator[str]:
    """Keys of a module's rates and of its figures that no shop data know."""
    stated = sections_of(shop)

    def of_rates(rates: Struct, beside: ShopData) -> Iterator[str]:
        return (gap for gap in gaps(rates, beside) if not gap.endswith(IN_SHOP_DATA))

    def of_figures(figures: Struct, beside: ShopData) -> Iterator[str]:
        found = gaps(card.sections.get(module), replace(beside, sections={**beside.sections, module: figures}))
        return (gap.removesuffix(IN_SHOP_DATA) for gap in found if gap.endswith(IN_SHOP_DATA))

    sides: tuple[tuple[Any, ...], ...] = (
        (card.resolved, card.sections, of_rates),
        (stated.resolved, stated, of_figures),
    )
    for file, sections, asked in sides:
        if module in sections:
            for path, accepted in unknown_keys(
                sections[module], asked, (shop, *stated.folder.shops), stated.folder.kinds
            ):
                yield problem(file, (module, *path), _stranger(accepted))


def _stranger(accepted: Iterable[str]) -> str:
    return f"no shop data know it; accepted: {', '.join(sorted(accepted))}"
