"""Proof that rate cards and shop data may be deployed: they keep the laws, leave no day out, and no figure leaps.

Nothing here reads a file or the clock.
"""

from collections.abc import Callable, Iterator, Mapping
from typing import Final, Protocol

from msgspec import Struct

from tallyplate.contract import CostModule, Family, ShopData
from tallyplate.pricing import PluginFailure
from tallyplate.proof.agreed_prices import agreements_on_nothing, unlawful_agreements
from tallyplate.proof.bench import Bench
from tallyplate.proof.dates import gaps
from tallyplate.proof.laws_of_money import higher_rates, lines_that_bear_out, the_same_again
from tallyplate.proof.laws_of_orders import more_plates, times_as_many
from tallyplate.proof.laws_of_plates import larger_plates, marked_plates, plates_with_more_holes, tighter_plates
from tallyplate.proof.moves import far_moves
from tallyplate.proof.price_lists import falling_lists
from tallyplate.proof.specs import unexampled
from tallyplate.rates.card import RateCard

__all__ = ["Installed", "Scope", "broken_laws", "far_moves", "gaps", "scope"]

LAWS: Final[tuple[Callable[[Bench], Iterator[str]], ...]] = (
    lines_that_bear_out,
    the_same_again,
    more_plates,
    times_as_many,
    larger_plates,
    tighter_plates,
    marked_plates,
    plates_with_more_holes,
    higher_rates,
)


class Installed(Protocol):
    """What prices are made with, besides a rate card and shop data."""

    @property
    def families(self) -> Mapping[str, Family]:
        """Families by name."""

    @property
    def modules(self) -> Mapping[str, CostModule]:
        """Cost modules by name."""


class Scope(Struct, frozen=True):
    """How many plates the laws are tried on, and what they are not tried on."""

    plates: int
    left_out: tuple[str, ...]


def broken_laws(installation: Installed, card: RateCard, shop: ShopData) -> Iterator[str]:
    """A counter-example in plain words to each law that a rate card breaks together with shop data."""
    yield from falling_lists(card)
    bench = Bench(installation.families, installation.modules, card, shop)
    together = f"rate card {card.id} with shop data {shop.id}"
    lawful = True
    try:
        for law in LAWS:
            if broken := next(law(bench), None):
                lawful = False
                yield f"{together}: {broken}"
        # What breaks a law with every item mostly breaks it without some, which need not be said as well.
        if lawful and (broken := next(unlawful_agreements(bench), None)):
            yield f"{together}: {broken}"
    except PluginFailure as failure:
        yield f"{together}: {failure}"


def scope(installation: Installed, card: RateCard, shop: ShopData) -> Scope:
    """How far `broken_laws` reaches; raises `PluginFailure`."""
    bench = Bench(installation.families, installation.modules, card, shop)
    plates = [tried.plate for tried in bench.sample]
    left_out = []
    for name, family in bench.families.items():
        if lacking := unexampled(family.spec):
            left_out.append(f"family {name}, whose spec gives no example of {', '.join(lacking)}")
        elif name not in {plate["family"] for plate in plates}:
            left_out.append(f"family {name}, none of whose plates the shop data allow")
    made = {plate["material"] for plate in plates}
    left_out += [f"material {name}, of which no plate could be made" for name in shop.materials if name not in made]
    left_out += agreements_on_nothing(bench)
    return Scope(len(plates), tuple(left_out))
