"""Where plates are priced to be compared: under one rate card and one version of the shop data."""

from collections.abc import Mapping
from functools import cache, cached_property

from tallyplate.checking import built
from tallyplate.contract import Build, CostModule, Family, Order, Refusal, ShopData, Stage, Usual
from tallyplate.inquiry import read
from tallyplate.pricing import Modules, Priced, Work, price_work, work_out
from tallyplate.proof.plates import Json, sample
from tallyplate.proof.quantities import quantities
from tallyplate.rates.card import RateCard

MOST_DOUBLINGS = 6


class Tried:
    """A plate worked out: what was asked, what would be made, and what any number of them cost."""

    def __init__(self, plate: Json, build: Build, work: Work) -> None:
        self.plate, self.build, self.work, self.card = plate, build, work, work.card
        self.total = cache(self._total)

    def _total(self, quantity: int) -> int:
        return priced(self.work, quantity).total

    @cached_property
    def quantities(self) -> list[int]:
        """Few, and as many as stand at a step of the price; rising."""
        return quantities(self.work)

    @cached_property
    def few(self) -> int:
        """The first quantity, doubling, whose price nothing fills up: a minimum order would hide what plates cost."""
        filling = {part.name for part in self.work.parts[0] if part.module.stage is Stage.ORDER}
        quantity = 1
        for _ in range(MOST_DOUBLINGS):
            if not any(line.of.module in filling for line in priced(self.work, quantity).lines):
                break
            quantity *= 2
        return quantity


def priced(work: Work, quantity: int) -> Priced:
    """What so many plates cost, on the first day of the card."""
    return price_work(work, Order(quantity, work.card.effective_from))


class Bench:
    """Families and cost modules, a rate card and shop data, and the sample worked out with them."""

    def __init__(
        self, families: Mapping[str, Family], modules: Mapping[str, CostModule], card: RateCard, shop: ShopData
    ) -> None:
        self.families, self.modules, self.card, self.shop = families, modules, card, shop
        self._in_order = Modules.of(modules)

    @cached_property
    def sample(self) -> tuple[Tried, ...]:
        """The plates that the laws are tried on, without those that the shop refuses; raises `PluginFailure`."""
        return tuple(tried for plate in sample(self.families, self.shop) if (tried := self.tried(plate)))

    def tried(self, plate: Json) -> Tried | None:
        """A plate worked out, or None where it is refused; raises `PluginFailure`."""
        name = plate["family"]
        try:
            spec = read({"plate": plate}, self.families).plate
            build = built(self.families[name], name, spec, self.shop, Usual())
        except Refusal:
            return None
        return self.under(self.card, plate, build)

    def under(self, card: RateCard, plate: Json, build: Build, modules: Modules | None = None) -> Tried:
        """A plate worked out under a rate card; raises `PluginFailure`."""
        return Tried(plate, build, work_out(build, self.shop, card, modules or self._in_order))
