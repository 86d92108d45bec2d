"""All that combinations are priced and checked by: the shop, the card, the order and the plugins."""

from collections.abc import Iterable, Mapping
from typing import Any

import msgspec
from msgspec import Struct
from msgspec.structs import replace

from tallyplate.checking import built
from tallyplate.contract import Build, Charge, CostModule, Family, Order, PlateSpec, ShopData, Usual
from tallyplate.decoding import length_hook
from tallyplate.pricing import Modules, hours, lead_days, price
from tallyplate.rates.card import RateCard
from tallyplate.tradeoffs.alternatives.remembered import Look


class Pricer(Struct, frozen=True):
    """What prices one order of any plate of a family; an order may take at most `most_days` working days."""

    name: str
    family: Family
    order: Order
    shop: ShopData
    card: RateCard
    modules: Modules
    most_days: int

    def spec(self, plate: Mapping[str, Any]) -> PlateSpec:
        """A plate read; raises `msgspec.ValidationError`."""
        return msgspec.convert(plate, self.family.spec, dec_hook=length_hook)

    def build(self, spec: PlateSpec, usual: Usual) -> Build:
        """What the shop would make; raises `Refusal` and `PluginFailure`."""
        return built(self.family, self.name, spec, self.shop, usual)

    def total(self, look: Look, build: Build) -> int | None:
        """What the engine charges for the order of a plate that can be made; None where it cannot in time.

        Modules see the build as it is looked at; the engine, which tries every blank, sees it as it is.
        """
        watched = look(build)
        hash((watched.blank, watched.other_blanks))
        modules = Modules(tuple((name, seeing(module, look)) for name, module in self.modules.in_order))
        priced = price(build, self.order, self.shop, self.card, modules)
        rush = self.order.services.rush
        days = lead_days(hours(priced.lines), watched.finish, self.shop, priced.build.blank.days, rush=rush)
        return priced.total if days <= self.most_days else None


def seeing(module: CostModule, look: Look) -> CostModule:
    """A module that sees a build as it is looked at."""

    def charges(build: Build, *others: Any) -> Iterable[Charge]:  # noqa: ANN401 - all that a module is told
        return module.charges(look(build), *others)

    return replace(module, charges=charges)
