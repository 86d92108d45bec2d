"""What may change: the choices of a request that a caller leaves free, and what each of them may be instead."""

from collections.abc import Iterator, Sequence
from math import prod
from typing import Annotated, Any, Final

from msgspec import Meta, Struct
from msgspec import inspect as kinds

from tallyplate.contract import Fault, Refusal, refuse
from tallyplate.decoding import convert, length_hook, shown
from tallyplate.pointers import applied
from tallyplate.tradeoffs.alternatives.values import own_values
from tallyplate.tradeoffs.choices import QUANTITY, Choice, Value
from tallyplate.tradeoffs.start import Start

MOST_COMBINATIONS: Final = 1_000_000
"""Combinations that are examined for one request."""

MOST_VARIABLES: Final = 20
MOST_VALUES: Final = 100

USUAL: Final = (
    "/plate/material",
    "/plate/finish",
    "/plate/thickness",
    "/plate/pattern/arrangement",
    "/plate/pattern/pitch",
    "/plate/position_tolerance",
)
"""What may change where a request does not say: what trades money for the measures compared, and the finish, without
which most materials could not be changed. Not the screw and the parts in its holes, which go with the clamps that the
customer has, nor marking."""

AS_USUAL: Final = object()
"""In the place of what a caller said: nothing."""

Text = Annotated[str, Meta(max_length=200)]


class Named(Struct, frozen=True, forbid_unknown_fields=True):
    """A field that may change, and what it may be besides what it is."""

    pointer: Text
    values: Annotated[tuple[str | int | bool | tuple[str | int, ...], ...], Meta(min_length=1, max_length=MOST_VALUES)]


MayChange = Annotated[
    tuple[Text | Named, ...],
    Meta(
        title="May change",
        description="Fields of the plate by JSON Pointer, each alone or with the values that it may take.",
        max_length=MOST_VARIABLES,
        examples=[["/plate/material", {"pointer": "/plate/pattern/pitch", "values": ["40 mm", "50 mm"]}]],
    ),
]


class Variable(Struct, frozen=True):
    """A field that may change: its present value, whether the caller gave it, and what else it may be."""

    pointer: str
    title: str
    present: Value | None
    given: bool
    others: tuple[Value, ...]

    @property
    def count(self) -> int:
        """How many options it has, that of leaving it as it is among them."""
        return len(self.others) + 1

    def option(self, number: int) -> Value | None:
        """Its value by the number of the option, of which 0 is the present one."""
        return self.others[number - 1] if number else self.present


def variables(start: Start, said: object = AS_USUAL, most: int = MOST_COMBINATIONS) -> tuple[Variable, ...]:
    """What may change of a request: as its caller said (plain data), or as usual.

    Raises `Refusal` for what is no choice of the plate, for values that it cannot take, and for too many combinations.
    """
    free = {choice.pointer: choice for choice in start.choices() if choice.pointer != QUANTITY}
    if said is AS_USUAL:
        found = tuple(
            variable for pointer in USUAL if pointer in free and (variable := _as_usual(free[pointer], start)).others
        )
    else:
        asked = convert(said, MayChange, length_hook, "/may_change")
        found = _asked(asked, free, start)
    count = prod(variable.count for variable in found)
    if count > most:
        parts = ", ".join(f"{variable.pointer} {variable.count}" for variable in found)
        message = f"{count} combinations ({parts}); accepted: at most {most}"
        raise refuse("/may_change", message)
    return found


def _as_usual(choice: Choice, start: Start) -> Variable:
    return _variable(choice, own_values(choice, start))


def _variable(choice: Choice, values: Sequence[Value]) -> Variable:
    others = tuple(
        dict.fromkeys(value for value in values if (type(value), value) != (type(choice.value), choice.value))
    )
    return Variable(choice.pointer, choice.title, choice.value, choice.given, others)


def _asked(asked: tuple[str | Named, ...], free: dict[str, Choice], start: Start) -> tuple[Variable, ...]:
    found: dict[str, Variable] = {}
    wrong: list[Fault] = []
    for index, one in enumerate(asked):
        at = f"/may_change/{index}"
        pointer, values = (one.pointer, one.values) if isinstance(one, Named) else (one, None)
        known = list(_wrong_pointer(pointer, at, free, found))
        if not known and values is not None:
            known = list(_wrong_values(free[pointer], values, at, start))
        if not known:
            found[pointer] = _as_usual(free[pointer], start) if values is None else _variable(free[pointer], values)
            if values is None and not found[pointer].others:
                known = [
                    Fault(at, f"nothing else is known for {pointer}; accepted: an object with its pointer and values")
                ]
        wrong += known
    if wrong:
        raise Refusal(*wrong)
    return tuple(variable for variable in found.values() if variable.others)


def _wrong_pointer(pointer: str, at: str, free: dict[str, Choice], found: dict[str, Variable]) -> Iterator[Fault]:
    if pointer not in free:
        yield Fault(at, f"{shown(pointer)} is no choice of this plate; accepted: {', '.join(free)}")
    elif pointer in found:
        yield Fault(at, f"{pointer} stands twice; accepted: each once")


def _wrong_values(choice: Choice, values: tuple[Value, ...], at: str, start: Start) -> Iterator[Fault]:
    """Values that a field cannot take whatever else changes: of another type, or names that are not on offer."""
    for index, value in enumerate(values):
        try:
            _tried(choice, value, start)
        except Refusal as refusal:
            yield from (
                Fault(f"{at}/values/{index}{fault.pointer.removeprefix(choice.pointer)}", fault.message)
                for fault in refusal.faults
                if fault.pointer.startswith(choice.pointer)
            )


def _tried(choice: Choice, value: Value, start: Start) -> None:
    request: dict[str, Any] = applied(start.request, {choice.pointer: value})
    convert(request["plate"], start.spec, length_hook, "/plate")
    if isinstance(choice.kind, kinds.StrType):
        start.price(request)


def options(number: int, variables: tuple[Variable, ...]) -> tuple[int, ...]:
    """The option of each variable in a combination, by its number."""
    found = []
    for variable in reversed(variables):
        number, option = divmod(number, variable.count)
        found.append(option)
    return tuple(reversed(found))


def strides(variables: tuple[Variable, ...]) -> tuple[int, ...]:
    """For each variable, by how much a combination's number grows with its next option; the last varies fastest."""
    return tuple(prod(other.count for other in variables[place + 1 :]) for place in range(len(variables)))
