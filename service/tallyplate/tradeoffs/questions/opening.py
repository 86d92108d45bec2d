"""The open questions of a plate: the fields without which there is no price, and those answered as usual so far."""

from collections.abc import Mapping
from itertools import pairwise
from typing import Any, Final

from msgspec import Struct
from msgspec import inspect as kinds

from tallyplate.contract import Length, PlateSpec, Question, Refusal, refuse
from tallyplate.decoding import MISSING
from tallyplate.pointers import found
from tallyplate.tradeoffs.choices import Value
from tallyplate.tradeoffs.questions.answers import answers
from tallyplate.tradeoffs.questions.fields import Asked, field
from tallyplate.tradeoffs.questions.trials import FEWEST, Bench, Trial, attempt, changed, order
from tallyplate.units import length

UNASKED: Final = frozenset({"margin", "x", "y", "screw_spacing"})
"""Fields that follow from other answers, and that nobody is asked for on the telephone."""

CLOSE: Final = 1.0
"""Millimetres to which the last length that can be had is looked for."""

HALVED: Final = 17
"""Times that what lies between two lengths is halved at most: from the longest to a millimetre."""

MOST_SUPPOSED: Final = 200
"""Plates that are tried until one stands for a request whose sizes are open."""


class Open(Struct, frozen=True):
    """An open question of a plate, and what it is supposed or usually to be.

    One that is `needed` has no usual answer: until it is given there is no price, and a supposed one stands in.
    """

    pointer: str
    field: Asked
    answers: tuple[Value, ...]
    stands_in: Value | None
    needed: bool

    @property
    def lengths(self) -> bool:
        """Whether its answers are lengths, the shortest first."""
        return bool(self.answers) and isinstance(self.field.kind, kinds.CustomType) and self.field.kind.cls is Length

    @property
    def between(self) -> bool:
        """Whether any length between its answers is one too."""
        return self.needed and self.lengths


class Needs(Struct, frozen=True):
    """What a plate needs before there is a price, what else its family asks for, and how."""

    pointers: tuple[str, ...]
    spec: type[PlateSpec]
    questions: tuple[Question, ...]
    defaults: Mapping[str, Any]
    """What the spec itself answers where it is not given."""
    met: dict[str, Value]
    """The usual answer of each question as it was first met."""
    unsaid: tuple[str, ...] = ()
    """What the family asks for though nothing stands in for it: a plate that exists, and nothing to be done to it."""

    def worded(self, pointer: str) -> Question | None:
        """How the family asks for a field, if it says."""
        return next((one for one in self.questions if one.pointer == pointer), None)


def pointers(bench: Bench, needs: Needs, trial: Trial) -> list[str]:
    """Where the open questions of a trial stand: needed ones first, in the order that its family asks for them.

    What was chosen is as open as what is usual: nobody has given it. What can be one thing only is no question, unless
    it is needed.
    """
    usual = {one.pointer: one.value for one in trial.assumed if one.pointer.rpartition("/")[2] not in UNASKED}
    every = dict.fromkeys([*needs.pointers, *needs.unsaid, *usual, *needs.defaults, *trial.chosen])
    return [
        pointer
        for pointer in every
        if (of := field(needs.spec, pointer))
        and (pointer in needs.pointers or len(_answers(of, pointer, bench, needs, trial)) > 1)
    ]


def unsaid(bench: Bench, needs: Needs, start: Trial) -> tuple[str, ...]:
    """What a family asks for that nothing stands in for, where its plate exists and nothing is to be done to it."""
    if not bench.family.existing:
        return ()
    build = order(bench, start, FEWEST).build
    if build.holes or build.replaced:
        return ()
    known = {*start.chosen, *(one.pointer for one in start.assumed)}
    return tuple(
        one.pointer
        for one in needs.questions
        if one.pointer not in known and not found({"plate": start.plate}, one.pointer)
    )


def _answers(of: Asked, pointer: str, bench: Bench, needs: Needs, trial: Trial) -> tuple[Value, ...]:
    usual = needs.met.get(pointer, _usual(needs, trial, pointer))
    return answers(of, trial.plate, bench.shop, usual, needs.worded(pointer))


def _usual(needs: Needs, trial: Trial, pointer: str) -> Value | None:
    usual = {**needs.defaults, **{one.pointer: one.value for one in trial.assumed}}.get(pointer)
    return tuple(usual) if isinstance(usual, list) else usual


def switch(needs: Needs, pointer: str) -> bool:
    """Whether the answer to a question is yes or no."""
    return isinstance(_field(needs.spec, pointer).kind, kinds.BoolType)


def opened(bench: Bench, needs: Needs, trial: Trial, pointer: str) -> Open:
    """One of the open questions of a trial; it keeps its answers, whatever is chosen for it."""
    value = _usual(needs, trial, pointer)
    if value is not None:
        needs.met.setdefault(pointer, value)
    of = _field(needs.spec, pointer)
    return Open(
        pointer,
        of,
        _answers(of, pointer, bench, needs, trial),
        trial.chosen.get(pointer, value),
        pointer in needs.pointers,
    )


def _field(spec: type[PlateSpec], pointer: str) -> Asked:
    found = field(spec, pointer)
    assert found is not None  # noqa: S101 - `pointers` names none that the spec has not
    return found


def beside(bench: Bench, trial: Trial, one: Open, *, ends: bool = False) -> dict[Value, Trial]:
    """Every answer of a question tried, and for a range the last length before one that is refused, to `CLOSE`.

    With `ends`, of lengths only the first and the last.
    """
    tries = (one.answers[0], one.answers[-1]) if ends and one.lengths else one.answers
    found = {value: changed(bench, trial, one.pointer, value) for value in tries}
    if not one.between:
        return found
    ordered = sorted((length(str(value)), other) for value, other in found.items())
    for (low, lower), (high, upper) in pairwise(ordered):
        if (lower.work is None) == (upper.work is None):
            continue
        good, bad = (low, high) if lower.work else (high, low)
        for _ in range(HALVED):
            if abs(good - bad) <= CLOSE:
                break
            middle = length(f"{round((good + bad) / 2)} mm")
            tried = changed(bench, trial, one.pointer, middle.text)
            found |= {middle.text: tried} if tried.work else {}
            good, bad = (middle, bad) if tried.work else (good, middle)
    return dict(sorted(found.items(), key=lambda item: length(str(item[0]))))


def started(bench: Bench, needs: Needs) -> Trial:
    """A plate that can be priced, with supposed answers where there is no usual one.

    Where those do not go together with what is given, others are tried in their place, one at a time. Raises the
    `Refusal` of the first where none does.
    """
    first = attempt(bench, {pointer: _supposed(bench, needs, pointer) for pointer in needs.pointers})
    if first.work:
        return first
    candidates = (
        (pointer, value)
        for pointer in pointers(bench, needs, first)
        for value in opened(bench, needs, first, pointer).answers
    )
    for _, (pointer, value) in zip(range(MOST_SUPPOSED), candidates, strict=False):
        other = changed(bench, first, pointer, value)
        if other.work:
            return other
    raise Refusal(*first.refused)


def _supposed(bench: Bench, needs: Needs, pointer: str) -> Value:
    """What stands in for a field: as its family words it, an example among its answers, or the first of these."""
    worded, of = needs.worded(pointer), _field(needs.spec, pointer)
    if worded and worded.supposed is not None:
        return worded.supposed
    found = answers(of, bench.plate, bench.shop, None, worded)
    examples = (tuple(one) if isinstance(one, list) else one for one in of.examples)
    for value in (*(one for one in examples if one in found), *found):
        return value
    raise refuse(pointer, MISSING)
