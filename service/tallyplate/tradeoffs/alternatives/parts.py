"""What each module and each check says of a plate, for every combination that shares its build.

A module that does not read a finish is asked once for all finishes; one that only asks whether a tolerance is below
some limit, twice for all tolerances.
"""

from collections.abc import Callable, Iterator
from functools import partial
from itertools import product
from typing import Any, Generic, TypeVar

from msgspec import Struct

from tallyplate.contract import Build, CostModule, Stage
from tallyplate.findings import CHECKS, Case, Finding, Severity
from tallyplate.pricing import Modules, price
from tallyplate.soundness import unsound
from tallyplate.tradeoffs.alternatives.opaque import Looked
from tallyplate.tradeoffs.alternatives.plate import Options, Plate
from tallyplate.tradeoffs.alternatives.pricer import Pricer, seeing
from tallyplate.tradeoffs.alternatives.remembered import Look, Remembered

Answer = TypeVar("Answer")


class Part(Struct, frozen=True):
    """What one module charges for the order: each line's amount in minor units, and the work centre it is of."""

    amounts: tuple[int, ...]
    centers: tuple[str, ...]


class Across(Struct, Generic[Answer], frozen=True):
    """What a function says of a plate for the options of the slots that it reads, by their places in these slots."""

    slots: tuple[int, ...]
    answers: dict[Options, Answer]


class OnPlates(Generic[Answer]):
    """A function of a build, asked as often as the options of a plate's slots differ in what it reads of them.

    Plates with the same slots that agree in all else that it reads have the same answers.
    """

    def __init__(self, ask: Callable[[Look, Build], Answer]) -> None:
        self._function = Remembered(ask)
        self._known: dict[tuple[Any, ...], Across[Answer]] = {}
        self._state: object = None
        self._besides: tuple[Callable[[Build], Any], ...] = ()
        self._alike: list[list[int]] = []

    def __call__(self, plate: Plate) -> Across[Answer]:
        """The answers for a plate; raises what the function raises."""
        while True:
            features = self._function.features
            if (features, plate.slots) != self._state:
                self._learn(plate)
            try:
                key = (plate.slots, *[read(plate.build) for read in self._besides])
                known = self._known.get(key)
            except (TypeError, Looked):
                return self._asked(plate)
            if known is None:
                known = self._asked(plate)
                if features is not self._function.features:
                    self._known.clear()
                    continue  # it has been seen to read more
                self._known[key] = known
            return known

    def _learn(self, plate: Plate) -> None:
        """Part what is read of the slots from what is read besides, and find the options that are alike in it."""
        features, names = self._function.features, {slot.name for slot in plate.slots}
        self._state = features, plate.slots
        self._besides = tuple(one.getter() for one in features if one.root not in names)
        self._alike = [
            _alike(plate, place, [one.getter() for one in features if one.root in {slot.name, ""}])
            for place, slot in enumerate(plate.slots)
        ]

    def _asked(self, plate: Plate) -> Across[Answer]:
        read = tuple([place for place, alike in enumerate(self._alike) if any(alike)])
        every = product(*(dict.fromkeys(self._alike[place]) for place in read))
        asked = {options: self._function(plate.chosen(options, read)) for options in every}
        return Across(
            read,
            {
                options: asked[tuple([self._alike[place][option] for place, option in zip(read, options, strict=True)])]
                for options in product(*(range(len(self._alike[place])) for place in read))
            },
        )


def _alike(plate: Plate, place: int, getters: list[Callable[[Build], Any]]) -> list[int]:
    """For each option of a slot, the first that is the same in what is read of it."""
    first: dict[tuple[Any, ...], int] = {}
    builds = [plate.chosen((option,), (place,)) for option in range(len(plate.slots[place].options))]
    try:
        return [first.setdefault(tuple([read(one) for read in getters]), option) for option, one in enumerate(builds)]
    except (TypeError, Looked):
        return list(range(len(builds)))


def unsoundness(pricer: Pricer) -> OnPlates[str]:
    """What keeps a build from being priced, or nothing: not asked yet of one that was handed opaque values."""
    return OnPlates(lambda look, build: unsound(look(build), pricer.shop))


def checks(pricer: Pricer) -> list[OnPlates[bool]]:
    """For each check, whether it finds an error."""
    return [OnPlates(partial(_fails, check, pricer)) for check in CHECKS]


def _fails(check: Callable[[Case], Iterator[Finding]], pricer: Pricer, look: Look, build: Build) -> bool:
    return any(finding.severity is Severity.ERROR for finding in check(Case(look(build), pricer.shop)))


def makers(pricer: Pricer) -> list[tuple[CostModule, OnPlates[Part]]]:
    """Each module of the making stage, and what it charges for a build on its blank; in the order of their lines."""
    return [
        (module, OnPlates(partial(_made, name, module, pricer)))
        for name, module in pricer.modules.in_order
        if module.stage is Stage.MAKE
    ]


def _made(name: str, module: CostModule, pricer: Pricer, look: Look, build: Build) -> Part:
    """A module's lines as the engine makes them."""
    alone = Modules(((name, seeing(module, look)),))
    lines = price(build, pricer.order, pricer.shop, pricer.card, alone).lines
    return Part(tuple(line.amount for line in lines), tuple(line.of.work_center for line in lines))
