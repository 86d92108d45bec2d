"""A family on trial: the plates that it is asked to build."""

from collections.abc import Callable
from functools import cached_property, partial
from typing import Final, NamedTuple, NoReturn

from tallyplate.contract import Assumption, Build, Family, PlateSpec, Refusal, Usual
from tallyplate.inquiry import read
from tallyplate.proof.bench import Bench
from tallyplate.proof.plates import Json, sample
from tallyplate.testkit.examples import asked, example_plates
from tallyplate.testkit.trial import Question, Stand, Trial

STEP: Final = 4
"""Of the plates that a rate card is proven on, one in so many is tried."""


class Built(NamedTuple):
    """What a family answers: the build, and what it took for granted."""

    build: Build
    assumed: tuple[Assumption, ...]


class FamilyTrial(Trial):
    """A family on trial: it is asked to build plates."""

    plugin: Family

    @cached_property
    def examples(self) -> list[Json]:
        """The plates that the spec's examples and the author give."""
        given = [{"family": self.name, **plate} for plate in self.subject.examples]
        return [*example_plates(self.name, self.plugin.spec), *given]

    @cached_property
    def examples_to_price(self) -> list[Json]:
        """The examples that may not be refused: the first, and the author's. Other answers may need one another."""
        return [*self.examples[:1], *self.examples[len(self.examples) - len(self.subject.examples) :]]

    @cached_property
    def bench(self) -> Stand:
        """The plates to try laws on: the first example, the author's, and some at the steps of the shop data."""
        steps = list(sample({self.name: self.plugin}, self.shop))[::STEP]
        bench = Bench({self.name: self.plugin}, self.installation.modules, self.card, self.shop)
        return Stand(bench, [*self.examples_to_price, *steps])

    @cached_property
    def plates(self) -> list[Json]:
        """All plates, examples first, each once."""
        every = [*self.examples, *self.bench.plates]
        return [plate for place, plate in enumerate(every) if plate not in every[:place]]

    @cached_property
    def questions(self) -> tuple[Question, ...]:
        """One for each plate, read beforehand, so that only the family's own work is watched."""
        return tuple(Question(asked(plate), self._question(plate)) for plate in self.plates)

    def _question(self, plate: Json) -> Callable[[], object]:
        try:
            return partial(self.built, read({"plate": plate}, {self.name: self.plugin}).plate)
        except Refusal as refusal:
            return partial(_raise, refusal)

    def built(self, spec: PlateSpec) -> Built:
        """What the family makes of a spec; raises whatever it raises."""
        usual = Usual()
        build = self.plugin.build(spec, self.shop, usual)
        return Built(build, tuple(usual.assumed))


def _raise(error: Exception) -> NoReturn:
    raise error
