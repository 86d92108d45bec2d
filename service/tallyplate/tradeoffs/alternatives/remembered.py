"""Functions of a build that are asked once for all builds that agree in what was read."""

from collections.abc import Callable
from typing import Any, Final, Generic, TypeVar, cast

from tallyplate.contract import Build
from tallyplate.tradeoffs.alternatives.opaque import Looked
from tallyplate.tradeoffs.alternatives.watching import WHOLE, Feature, View

Answer = TypeVar("Answer")

MOST_FEATURES: Final = 64
"""Features that one function is known by; one that reads more is known by the whole build."""


UNKNOWN: Final = object()

Look = Callable[[Build], Build]
"""Makes a build one that is watched."""


def _itself(build: Build) -> Build:
    return build


class Remembered(Generic[Answer]):
    """A pure function of a build with its answers.

    It is given the build, and what makes this build, or one that differs in its blank, one that is watched.
    The features are all that any call has read. A call that agrees with a kept one in all of them agrees in those that
    the kept one read; so it would read the same, and answer the same.
    """

    def __init__(self, ask: Callable[[Look, Build], Answer]) -> None:
        self._ask = ask
        self.features: tuple[Feature, ...] = ()
        """All that any call has read; another value where there is more."""
        self._getters: tuple[Callable[[Build], Any], ...] = ()
        self._known: dict[tuple[Any, ...], Answer] = {}

    def reads(self, attribute: str) -> bool:
        """Whether any call has read an attribute of the build, or all of it."""
        return any(feature.root in {attribute, ""} for feature in self.features)

    def __call__(self, build: Build) -> Answer:
        """The answer for a build; raises what the function raises."""
        try:
            key = tuple([read(build) for read in self._getters])
            known = self._known.get(key, UNKNOWN)
        except (TypeError, Looked):  # a build with something in it that has no hash is nobody's twin
            return self._ask(_itself, build)
        if known is not UNKNOWN:
            return cast("Answer", known)
        seen: set[Feature] = set()
        try:
            answer = self._ask(lambda one: cast("Build", View(one, seen.add)), build)
        except Exception:  # noqa: BLE001 - whether the function or watching it is at fault, the build itself shows
            answer, seen = self._ask(_itself, build), {WHOLE}
        if not seen.issubset(self.features):
            self._learn(seen)
            key = tuple([read(build) for read in self._getters])
        try:
            self._known[key] = answer
        except (TypeError, Looked):  # as above
            return answer
        return answer

    def _learn(self, seen: set[Feature]) -> None:
        together = seen.union(self.features)
        self.features = tuple(sorted(together)) if len(together) <= MOST_FEATURES else (WHOLE,)
        self._getters = tuple(feature.getter() for feature in self.features)
        self._known.clear()
