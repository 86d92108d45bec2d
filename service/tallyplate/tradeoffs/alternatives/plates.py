"""Every combination built, a build for as many combinations as it can be shown to serve.

A family that hands a finish or a tolerance on to the build without looking at it makes the same build for all of them
but for that one field. So it is given an opaque value first, and real ones only where it has looked.
"""

from collections.abc import Iterator, Mapping
from itertools import product
from typing import Any

import msgspec
from msgspec.structs import replace

from tallyplate.contract import Build, PlateSpec, Refusal
from tallyplate.pointers import applied
from tallyplate.tradeoffs.alternatives.handing import Noted, handed_on, opened
from tallyplate.tradeoffs.alternatives.opaque import Looked, Opaque
from tallyplate.tradeoffs.alternatives.plate import HANDED_ON, Plate, Slot
from tallyplate.tradeoffs.alternatives.pricer import Pricer
from tallyplate.tradeoffs.alternatives.variables import Variable, strides

Together = tuple[tuple[int, ...], ...]
"""For each variable, the options that are looked at together."""


class Plates:
    """The combinations of some variables of a plate, built."""

    def __init__(self, request: Mapping[str, Any], variables: tuple[Variable, ...], pricer: Pricer) -> None:
        self._request, self._variables, self._pricer = request, variables, pricer
        self._open = opened(pricer.shop)
        self._strides = strides(variables)
        self._opaque = {place: Opaque(values) for place in range(len(variables)) if (values := self._values(place))}
        self._looked: set[int] = set()
        self._known: dict[tuple[int, Any], Slot] = {}

    def __iter__(self) -> Iterator[Plate]:
        """Every build that is not refused; raises `PluginFailure`."""
        for options in product(*map(self._options, range(len(self._variables)))):
            yield from self._built(options)

    def _values(self, place: int) -> tuple[Any, ...]:
        """The values of a variable that a family may hand on, as its spec holds them; what is left out is none."""
        variable, name = self._variables[place], self._name(place)
        if name not in HANDED_ON:
            return ()
        try:
            return tuple(
                getattr(self._spec({place: option}), name)
                for option in range(0 if variable.given else 1, variable.count)
            )
        except msgspec.ValidationError:  # a spec that minds what stands beside it
            return ()

    def _name(self, place: int) -> str:
        return self._variables[place].pointer.removeprefix("/plate/")

    def _options(self, place: int) -> list[tuple[int, ...]]:
        """The options of a variable, in groups that one build may serve."""
        every = range(self._variables[place].count)
        return [tuple(every)] if place in self._opaque else [(option,) for option in every]

    def _spec(self, options: Mapping[int, int]) -> PlateSpec:
        changes = {
            self._variables[place].pointer: self._variables[place].others[option - 1]
            for place, option in options.items()
            if option
        }
        return self._pricer.spec(applied(self._request, changes)["plate"])

    def _built(self, options: Together) -> Iterator[Plate]:
        """The builds of some options: those of a field that the family looks at one by one."""
        together = [place for place, group in enumerate(options) if len(group) > 1]
        for place in together:
            if place in self._looked:
                for option in options[place]:
                    yield from self._built((*options[:place], (option,), *options[place + 1 :]))
                return
        try:
            plate = self._one(options, together)
        except Looked as looked:
            self._looked |= {place for place in together if self._opaque[place] is looked.at} or set(together)
            yield from self._built(options)
        else:
            if plate:
                yield plate

    def _one(self, options: Together, together: list[int]) -> Plate | None:
        """One build for all options; None where it is refused. Raises `Looked` where it cannot serve for all."""
        usual = Noted()
        opaque = {self._name(place): self._opaque[place] for place in together}
        try:
            spec = self._spec({place: group[0] for place, group in enumerate(options)})
            if opaque:
                build = handed_on(spec, opaque, self._pricer, self._open, usual)
            else:
                build = self._pricer.build(spec, usual)
        except (msgspec.ValidationError, Refusal):
            return None
        slots = tuple(self._slot(place, usual) for place in together)
        if slots:
            build = replace(build, **{slot.name: slot.options[0][0] for slot in slots})
            _look_through(build)
        number = sum(self._strides[place] * group[0] for place, group in enumerate(options) if len(group) == 1)
        return Plate(build, slots, number)

    def _slot(self, place: int, usual: Noted) -> Slot:
        """What may stand where an opaque value was handed on: with the usual answer, for a field that is left out."""
        variable, opaque = self._variables[place], self._opaque[place]
        values = opaque.values if variable.given else (usual.of(opaque), *opaque.values)
        known = self._known.get((place, values[0]))
        if known is None:
            numbers = (self._strides[place] * option for option in range(variable.count))
            known = Slot(self._name(place), tuple(zip(values, numbers, strict=True)))
            self._known[place, values[0]] = known
        return known


def _look_through(build: Build) -> None:
    """Raise `Looked` where an opaque value is in a build still: whatever is in it has to say its hash."""
    try:
        hash(build)
    except TypeError:
        raise Looked(None) from None
