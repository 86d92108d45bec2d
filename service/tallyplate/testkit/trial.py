"""A plugin on trial: installed beside all others with the demonstration's data, and what it is asked."""

from collections.abc import Callable
from functools import cached_property
from pathlib import Path
from typing import Any, NamedTuple

from tallyplate.contract import CostModule, Family, ShopData
from tallyplate.discovery import COSTS, FAMILIES, plugins
from tallyplate.installation import Installation, demonstration
from tallyplate.proof.bench import Bench, Tried
from tallyplate.proof.plates import Json
from tallyplate.rates.card import RateCard
from tallyplate.testkit.memory import changed, remembered
from tallyplate.testkit.observing import Watch
from tallyplate.testkit.subject import Subject, found


class Question(NamedTuple):
    """What a plugin is asked, in words, and how."""

    label: str
    ask: Callable[[], object]


class Watched(NamedTuple):
    """Every question asked for the first time: the answers or what was raised, what was reached, what was changed."""

    answers: tuple[object, ...]
    watch: Watch
    altered: list[tuple[str, str]]


class Stand(Bench):
    """A bench with plates of our own choosing."""

    def __init__(self, bench: Bench, plates: list[Json]) -> None:
        super().__init__(bench.families, bench.modules, bench.card, bench.shop)
        self.plates = plates

    @cached_property
    def sample(self) -> tuple[Tried, ...]:
        """The plates that are not refused, worked out; raises `PluginFailure`."""
        return tuple(tried for plate in self.plates if (tried := self.tried(plate)))


class Trial:
    """A plugin on trial. What takes time is made when first asked for; `verdicts` are remembered by check."""

    def __init__(self, subject: Subject[Any]) -> None:
        self.subject, self.name = subject, subject.name
        self.verdicts: dict[str, Any] = {}

    @cached_property
    def plugin(self) -> Any:  # noqa: ANN401 - a family or a cost module, as the subclass says
        """The plugin; raises `PluginError`."""
        return found(self.subject)

    @cached_property
    def installation(self) -> Installation:
        """Everything that is installed, and the plugin; raises `PluginError` or `DataError`."""
        families, modules = plugins(FAMILIES, Family), plugins(COSTS, CostModule)
        mine = {self.name: self.plugin}
        return demonstration(
            families | mine if self.subject.kind is Family else families,
            modules | mine if self.subject.kind is CostModule else modules,
        )

    @property
    def card(self) -> RateCard:
        """The demonstration's rate card, with the plugin's example."""
        return self.installation.cards[-1]

    @property
    def shop(self) -> ShopData:
        """The demonstration's shop data, with the plugin's example."""
        return self.installation.shops[-1]

    @property
    def function(self) -> Callable[..., object]:
        """The function that the plugin is."""
        made: Callable[..., object] = self.plugin.build if self.subject.kind is Family else self.plugin.charges
        return made

    @cached_property
    def questions(self) -> tuple[Question, ...]:
        """What the plugin is asked again and again, to see whether it always answers the same."""
        raise NotImplementedError

    @cached_property
    def watched(self) -> Watched:
        """Every question asked twice, the first time under watch: what is kept for later calls is made in the first.

        Globals of the plugin's own module are compared over the first asking, those of other modules of its package
        that it enters over the second.
        """
        watch = Watch(package_of(self.function))
        questions = self.questions
        own = {self.function.__module__}
        before = remembered(own)
        answers = tuple(watch.run(question.ask) for question in questions)
        altered = list(changed(before, remembered(own)))
        others = {name for name in watch.entered if name.partition(".")[0] == watch.package} - own
        before = remembered(others)
        for question in questions:
            self.answer(question)
        return Watched(answers, watch, [*altered, *changed(before, remembered(others))])

    def answer(self, question: Question) -> object:
        """What the plugin answers, or what it raises."""
        try:
            return question.ask()
        except Exception as error:  # noqa: BLE001 - whatever a plugin raises is its answer
            return error

    def place(self, error: BaseException) -> str:
        """Where in the plugin's own code an error came from, such as ` (tray.py line 41)`."""
        package, at, trace = package_of(self.function), "", error.__traceback__
        while trace:
            if trace.tb_frame.f_globals.get("__name__", "").partition(".")[0] == package:
                at = f" ({Path(trace.tb_frame.f_code.co_filename).name} line {trace.tb_lineno})"
            trace = trace.tb_next
        return at


def package_of(function: Callable[..., object]) -> str:
    """The top-level package that a function stands in."""
    return str(getattr(function, "__module__", "")).partition(".")[0]
