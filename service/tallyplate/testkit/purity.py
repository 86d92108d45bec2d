"""Checks that a plugin answers from what it is given alone, so that the same question always has the same answer."""

from collections.abc import Iterator
from functools import partial
from itertools import pairwise
from typing import Final

from tallyplate.testkit.check import LIST, Check, Exempt
from tallyplate.testkit.elsewhere import told, told_elsewhere
from tallyplate.testkit.observing import Reached
from tallyplate.testkit.subject import reference
from tallyplate.testkit.trial import Trial

AROUND: Final = 60
"""Characters shown on either side of the first difference."""
HASH_SEEDS: Final = ("1", "2")
"""Two other processes, each with an order of its own for sets of text."""


def reaches(reached: Reached, trial: Trial) -> Iterator[str]:
    """Each place from which the plugin reaches something while it works."""
    for seen in dict.fromkeys(trial.watched.watch.seen):
        if seen.reached is reached:
            yield f"{_working(trial)} reaches {reached.value} ({seen.called}, called from {seen.where})"


def keeps(trial: Trial) -> Iterator[str]:
    """Each global that the plugin changes."""
    for module, name in dict.fromkeys(trial.watched.altered):
        yield f"{_working(trial)} changes the global {name} of {module}"


def changes_its_mind(trial: Trial) -> Iterator[str]:
    """A question answered otherwise when it is asked again: last to first, then each between two others."""
    asked = list(zip(trial.questions, map(told, trial.watched.answers), strict=True))
    between = [one for pair in pairwise(asked) for one in (pair[0], asked[0], pair[1])]
    for question, first in [*reversed(asked), *between]:
        again = told(trial.answer(question))
        if again != first:
            yield f"asked again, it answers otherwise, {difference(first, again)}; asked about {question.label}"
            return


def differs_elsewhere(trial: Trial) -> Iterator[str]:
    """A question answered otherwise in another process, with another order of sets, time zone and language."""
    place = reference(trial.subject)
    if place is None:
        reason = "is a global of no module, so that another process cannot find it: name its entry point instead"
        raise Exempt(reason)
    here = list(map(told, trial.watched.answers))
    try:
        elsewhere = told_elsewhere([place], HASH_SEEDS)
    except RuntimeError as error:
        yield f"another process cannot ask it: {error}"
        return
    for (answers,) in elsewhere:
        for question, first, other in zip(trial.questions, here, answers, strict=True):
            if first != other:
                yield f"another process answers otherwise, {difference(first, other)}; asked about {question.label}"
                return


def difference(first: str, other: str) -> str:
    """Where two answers first part, as text."""
    place = next((at for at, pair in enumerate(zip(first, other, strict=False)) if pair[0] != pair[1]), 0)
    here, there = (text[max(0, place - AROUND) : place + AROUND] for text in (first, other))
    return f"{here!r} and then {there!r}"


def _working(trial: Trial) -> str:
    return "building" if trial.subject.group.endswith("families") else "charging"


def checks(after: tuple[str, ...]) -> tuple[Check, ...]:
    """The checks, once the plugin answers at all."""
    return (
        Check(
            "reads_no_clock",
            partial(reaches, Reached.CLOCK),
            "A price must be the same on any day: take dates from the order instead (as_of, need_by), which every cost "
            "module is given.",
            after,
            most=LIST,
        ),
        Check(
            "draws_no_chance",
            partial(reaches, Reached.CHANCE),
            "The same plate must always cost the same: choose by a rule, such as the first or the least.",
            after,
            most=LIST,
        ),
        Check(
            "reads_no_environment",
            partial(reaches, Reached.ENVIRONMENT),
            "A price must not depend on the machine that works it out: ask for the setting as a figure of your own "
            "section, in a struct that the plugin declares.",
            after,
            most=LIST,
        ),
        Check(
            "touches_nothing_outside",
            partial(reaches, Reached.OUTSIDE),
            "A plugin answers from its arguments alone. Put figures into the structs that you declare (rates, "
            "figures): they are read and checked for you; a table of constants is read once, on import.",
            after,
            most=LIST,
        ),
        Check(
            "keeps_nothing",
            keeps,
            "What one plate leaves behind must not reach the next: return all results, and let functools.lru_cache "
            "keep what is dear to work out.",
            after,
            most=LIST,
        ),
        Check(
            "says_the_same_again",
            changes_its_mind,
            "The same question must always have the same answer, in any order: keep nothing between calls, and read "
            "nothing but the arguments.",
            (*after, "reads_no_clock", "draws_no_chance", "keeps_nothing"),
        ),
        Check(
            "says_the_same_elsewhere",
            differs_elsewhere,
            "An answer must be the same in every process. Sets have an order of their own in each: sort them, or use a "
            "tuple or dict.fromkeys; never let id() or hash() of text into an answer.",
            (*after, "says_the_same_again"),
        ),
    )
