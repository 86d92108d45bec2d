"""Checks of what a cost module promises not to look at."""

from collections.abc import Iterator
from datetime import timedelta

from msgspec.structs import replace

from tallyplate.contract import Build, Line, Order, Stage
from tallyplate.testkit.check import Exempt
from tallyplate.testkit.elsewhere import told
from tallyplate.testkit.module_trial import ModuleTrial
from tallyplate.testkit.purity import difference
from tallyplate.testkit.trial import Question


def reads_blank(trial: ModuleTrial) -> Iterator[str]:
    """Charges that change with the blank although it is said not to be read."""
    if trial.plugin.reads_blank:
        reason = "the module says that it reads the blank (reads_blank=True)"
        raise Exempt(reason)
    for label, build in trial.builds:
        cut = build.blank
        other = replace(
            cut, form=f"other {cut.form}", length=cut.length + 31, width=cut.width + 17, thickness=cut.thickness + 7
        )
        yield from _differs(trial, label, build, replace(build, blank=other), "another blank")


def reads_order(trial: ModuleTrial) -> Iterator[str]:
    """Charges that change with the order although it is said not to be read."""
    if trial.plugin.reads_order:
        reason = "the module says that it reads the order (reads_order=True)"
        raise Exempt(reason)
    day = trial.order.as_of
    other = Order(7 * trial.order.quantity, day + timedelta(40), day + timedelta(47))
    for label, build in trial.builds:
        yield from _differs(trial, label, build, build, "another order", other)


def sees_the_order_of_modules(trial: ModuleTrial) -> Iterator[str]:
    """Charges that change when the lines of earlier stages come in another order."""
    if trial.plugin.stage is Stage.MAKE:
        reason = "a module of the making stage sees no lines of others"
        raise Exempt(reason)
    for label, build in trial.builds:
        lines = trial.earlier(build)
        yield from _differs(
            trial, label, build, build, "the lines of earlier stages in another order", None, lines[::-1]
        )


def _differs(
    trial: ModuleTrial,
    label: str,
    build: Build,
    other: Build,
    change: str,
    order: Order | None = None,
    lines: tuple[Line, ...] | None = None,
) -> Iterator[str]:
    earlier = trial.earlier(build)
    first = Question(label, lambda: trial.charges(build, trial.order, earlier))
    second = Question(label, lambda: trial.charges(other, order or trial.order, earlier if lines is None else lines))
    before, after = told(trial.answer(first)), told(trial.answer(second))
    if before != after:
        yield f"with {change} it charges otherwise, {difference(before, after)}; {label}"
