"""A cost module on trial: the builds that it is asked to price."""

from functools import cached_property, partial
from typing import Final

from msgspec.structs import replace

from tallyplate.contract import Build, Charge, CostModule, Line, Order, Services, Spares, Stage
from tallyplate.pricing import Modules, price
from tallyplate.proof.bench import Bench
from tallyplate.proof.plates import sample
from tallyplate.rates.card import RateCard
from tallyplate.testkit.examples import asked
from tallyplate.testkit.trial import Question, Stand, Trial

STEP: Final = 5
"""Of the plates of each family that a rate card is proven on, one in so many is tried."""
QUANTITY: Final = 3
SERVICES: Final = Services(
    inspection_report="every_hole",
    packing="export",
    spares=Spares(bushings={"M12": 60}, plugs={"M12": 60}, screws={"M12": 60}),
    plugs="every_hole",
    matched=True,
    rush=True,
)
"""What there is besides plates, so that a module that waits for it speaks: all that goes with every plate, and so no
certificate, which supplied material has not."""


class ModuleTrial(Trial):
    """A cost module on trial: it is asked what builds cost."""

    plugin: CostModule

    @cached_property
    def alone(self) -> Modules:
        """The module and those of earlier stages, which alone it can see."""
        return Modules.of(dict(self._earlier) | {self.name: self.plugin})

    @cached_property
    def _earlier(self) -> tuple[tuple[str, CostModule], ...]:
        modules = self.installation.modules.items()
        return tuple((name, one) for name, one in modules if one.stage.value < self.plugin.stage.value)

    @cached_property
    def bench(self) -> Stand:
        """Plates of every family, priced by the module and those of earlier stages."""
        families = self.installation.families
        plates = [plate for name in families for plate in list(sample({name: families[name]}, self.shop))[::STEP]]
        given = list(self.subject.examples)
        return Stand(Bench(families, dict(self.alone.in_order), self.card, self.shop), [*given, *plates])

    @cached_property
    def builds(self) -> list[tuple[str, Build]]:
        """What those plates are, each on the blank that its family names first; with the plate in words."""
        named = Stand(Bench(self.installation.families, {}, self.card, self.shop), self.bench.plates)
        return [(asked(tried.plate), tried.work.builds[0]) for tried in named.sample]

    @property
    def order(self) -> Order:
        """A small order on the first day of the card."""
        return Order(QUANTITY, self.card.effective_from, None, SERVICES)

    @cached_property
    def questions(self) -> tuple[Question, ...]:
        """One for each build; the lines of earlier stages are made beforehand."""
        return tuple(
            Question(f"an order of {QUANTITY}: {label}", partial(self.charges, build, self.order, self.earlier(build)))
            for label, build in self.builds
        )

    def earlier(self, build: Build, order: Order | None = None, card: RateCard | None = None) -> tuple[Line, ...]:
        """The lines of earlier stages; raises `PluginFailure`."""
        modules = Modules.of(dict(self._earlier))
        return price(build, order or self.order, self.shop, card or self.card, modules).lines

    def charges(
        self, build: Build, order: Order, earlier: tuple[Line, ...], rates: object = None
    ) -> tuple[Charge, ...]:
        """All that the module charges; raises whatever it raises."""
        rates = self.card.sections.get(self.name) if rates is None else rates
        return tuple(self.plugin.charges(build, order, self.shop, rates, earlier))

    def cost(self, build: Build, quantity: int, card: RateCard) -> int:
        """What the module and those of earlier stages ask for an order, in minor units; raises `PluginFailure`."""
        modules = Modules.of({self.name: self.plugin}) if self.plugin.stage is Stage.MAKE else self.alone
        order = Order(quantity, card.effective_from, None, SERVICES)
        return price(replace(build, other_blanks=()), order, self.shop, card, modules).total
