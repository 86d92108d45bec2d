"""A check, the verdict on a plugin, and how hypothesis looks for what breaks one."""

from collections.abc import Callable, Iterator, Sequence
from enum import Enum
from itertools import islice
from typing import Any, Final

import pytest
from hypothesis import HealthCheck, Phase, Verbosity, given, settings
from hypothesis.strategies import SearchStrategy
from msgspec import Struct

from tallyplate.pricing import PluginFailure
from tallyplate.proof.bench import Bench
from tallyplate.testkit.nonconformity import Nonconforming
from tallyplate.testkit.trial import Stand, Trial

LIST: Final = 8
"""Most findings that are told where each must be mended by itself."""
DRAWN: Final = 25
"""Plates or builds that hypothesis draws for one check; always the same ones, so that a verdict stays."""
RAISED: Final = (
    "A plugin may raise nothing but Refusal, and that only while it builds: handle the case, or refuse the field."
)


class Exempt(Exception):  # noqa: N818 - nothing is wrong
    """Why a check has nothing to hold a plugin to."""


class State(Enum):
    """How a check ended."""

    KEPT = "kept"
    BROKEN = "broken"
    EXEMPT = "exempt"
    WAITS = "waits"
    """For a check that it builds on, and that is broken."""


class Verdict(Struct, frozen=True):
    """How a check ended, and the sentences that go with it."""

    state: State
    message: str = ""


class Check(Struct, frozen=True):
    """One thing that every plugin must keep.

    `finds` says each way in which a trial's plugin does not, with a counter-example; `remedy` is what its author does
    about it. A check `after` others waits for them, so that one mistake is said once. Of counter-examples one is told,
    or `most`.
    """

    name: str
    finds: Callable[[Any], Iterator[str]]
    remedy: str
    after: tuple[str, ...] = ()
    most: int = 1


def verdict(checks: Sequence[Check], name: str, trial: Trial) -> Verdict:
    """What a check says of the plugin on trial; asked once and remembered."""
    if name not in trial.verdicts:
        check = next(check for check in checks if check.name == name)
        trial.verdicts[name] = _waits(checks, check, trial) or _tried(check, trial)
    known: Verdict = trial.verdicts[name]
    return known


def _waits(checks: Sequence[Check], check: Check, trial: Trial) -> Verdict | None:
    for earlier in check.after:
        if verdict(checks, earlier, trial).state in {State.BROKEN, State.WAITS}:
            return Verdict(State.WAITS, f"waits for the check {earlier!r} to be kept")
    return None


def _tried(check: Check, trial: Trial) -> Verdict:
    try:
        found = list(dict.fromkeys(islice(check.finds(trial), check.most)))
    except Exempt as reason:
        return Verdict(State.EXEMPT, str(reason))
    except PluginFailure as failure:
        return Verdict(State.BROKEN, f"{trial.name}: {failure}. {RAISED}")
    if not found:
        return Verdict(State.KEPT)
    told = "\n".join(f"{trial.name}: {one.rstrip('.')}." for one in found)
    return Verdict(State.BROKEN, f"{told} {check.remedy}")


def conformance(checks: Sequence[Check], trial: Callable[[], Trial]) -> Callable[..., None]:
    """A pytest test with one case a check. The trial is made when the first case runs, not when tests are collected."""

    @pytest.mark.parametrize("check", [pytest.param(check.name, id=check.name) for check in checks])
    def conforms(check: str) -> None:
        said = verdict(checks, check, trial())
        if said.state is State.BROKEN:
            raise Nonconforming(said.message)
        if said.state is not State.KEPT:
            pytest.skip(said.message)

    return conforms


class _Drawn:
    """What hypothesis drew, whose text it need not work out: ours is in the counter-example."""

    def __init__(self, example: object) -> None:
        self.example = example

    def __repr__(self) -> str:
        return "..."


class _Found(Exception):  # noqa: N818 - carries a counter-example out of hypothesis
    pass


def falsified(strategy: SearchStrategy[Any], finds: Callable[[Any], Iterator[str]]) -> Iterator[str]:
    """What is found wrong with the first wrong example that a strategy draws; nothing where all are right."""

    @settings(
        max_examples=DRAWN,
        deadline=None,
        derandomize=True,
        database=None,
        report_multiple_bugs=False,
        verbosity=Verbosity.quiet,
        phases=(Phase.generate,),  # counter-examples are a line each, so that a simpler one is not worth the time
        suppress_health_check=list(HealthCheck),
    )
    @given(strategy.map(_Drawn))
    def search(drawn: _Drawn) -> None:
        for said in finds(drawn.example):
            raise _Found(said)

    try:
        search()
    except _Found as found:
        yield str(found)


def on_bench(law: Callable[[Bench], Iterator[str]], most: int | None = None) -> Callable[[Any], Iterator[str]]:
    """A law of rate cards, tried with the plates and cost modules of a trial; with at most so many plates."""

    def finds(trial: Any) -> Iterator[str]:  # noqa: ANN401 - a family's or a module's trial
        yield from law(Stand(trial.bench, trial.bench.plates[:most]))

    return finds
