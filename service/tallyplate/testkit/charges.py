"""Checks of what a cost module says: charges that can be priced, from its own rates, in the right units."""

from collections.abc import Iterator
from math import isfinite
from typing import Any, Final

from msgspec.structs import replace

from tallyplate.contract import Build, Charge, PerHour, PerKilogram, PerSquareMetre, PriceBreaks, Rate
from tallyplate.proof.counter_examples import amount
from tallyplate.proof.laws_of_money import A_LITTLE
from tallyplate.rates.walk import changed, figures, shown
from tallyplate.testkit.check import falsified
from tallyplate.testkit.examples import briefly
from tallyplate.testkit.module_trial import ModuleTrial
from tallyplate.testkit.strategies import builds

MOST_HOURS: Final = 500.0
"""Hours at one work centre beyond which a plate's seconds were taken for hours."""
BEYOND: Final = 50.0
"""So many times the blank's mass, or the plate's surface, no plate takes."""
MOST_FIGURES: Final = 60
"""Figures of a section that are raised in turn to see whether a rate follows one."""


def bad_charges(trial: ModuleTrial) -> Iterator[str]:
    """Anything that is no charge, over plates of every family and then over builds that hypothesis draws."""
    for question, answer in zip(trial.questions, trial.watched.answers, strict=True):
        for fault in _of_answer(trial, answer):
            yield f"{fault}; {question.label}"

    def of_build(build: Build) -> Iterator[str]:
        earlier = trial.earlier(build)
        try:
            answer: object = trial.charges(build, trial.order, earlier)
        except Exception as error:  # noqa: BLE001 - whatever a plugin raises is its answer
            answer = error
        for fault in _of_answer(trial, answer):
            yield f"{fault}; {briefly(build)}"

    yield from falsified(builds(trial.shop), of_build)


def _of_answer(trial: ModuleTrial, answer: Any) -> Iterator[str]:  # noqa: ANN401 - whatever was said
    if isinstance(answer, Exception):
        yield f"charging raises {type(answer).__name__}: {answer}{trial.place(answer)}"
        return
    for charge in answer:
        if not isinstance(charge, Charge):
            yield f"it says {charge!r}, which is no Charge"
        elif not str(charge.item).strip():
            yield "a charge has no item: the text that a line is read by"
        else:
            yield from _bad_quantities(charge)


def _bad_quantities(charge: Charge) -> Iterator[str]:
    for name in ("per_plate", "per_order", "lot"):
        quantity = getattr(charge, name)
        if not isinstance(quantity, float | int) or not isfinite(quantity):
            yield f"{charge.item!r} has {name}={quantity}, which is no finite number"
        elif quantity < 0:
            yield f"{charge.item!r} has {name}={quantity}, less than nothing"


def _all(trial: ModuleTrial) -> Iterator[tuple[Build, Charge, str]]:
    """Each charge for each build, and the build in words."""
    for (label, build), answer in zip(trial.builds, trial.watched.answers, strict=True):
        assert isinstance(answer, tuple)  # noqa: S101 - an earlier check has seen it
        yield from ((build, charge, label) for charge in answer if isinstance(charge, Charge))


def bad_work_centers(trial: ModuleTrial) -> Iterator[str]:
    """Time at a work centre that is not known or not declared; charges with both a centre and a rate, or with none."""
    declared = trial.plugin.work_centers
    for _, charge, label in _all(trial):
        center = charge.work_center
        if center and (center not in trial.card.work_centers or center not in trial.shop.work_centers):
            known = f"known: {', '.join(trial.card.work_centers)}"
            yield f"{charge.item!r} is charged to the work centre {center!r}, which nobody knows; {known}; {label}"
        elif center and center not in declared:
            yield f"{charge.item!r} is charged to {center!r}, which the module does not declare; {label}"
        if center and charge.rate is not None:
            yield f"{charge.item!r} has both a rate and the work centre {center!r}; {label}"
        if not center and not isinstance(charge.rate, Rate | PriceBreaks):
            yield f"{charge.item!r} has neither a rate nor a work centre; {label}"


def made_up_rates(trial: ModuleTrial) -> Iterator[str]:
    """Rates that no figure of the module's own section of the rate card changes."""
    section = trial.card.sections.get(trial.name)
    held = {leaf for _, leaf in figures(section) if isinstance(leaf, Rate)}
    for build, charge, label in _all(trial):
        if charge.work_center or (charge.rate is not None and _rates(charge) <= held):
            continue
        if not _follows(trial, build, charge, section):
            of = (
                f"its section [{trial.name}]"
                if section is not None
                else "a rate card, for the module declares no rates"
            )
            yield f"{charge.item!r} is charged at {charge.rate}, which comes from no figure of {of}; {label}"


def _rates(charge: Charge) -> set[Rate]:
    if isinstance(charge.rate, PriceBreaks):
        return {step.price for step in charge.rate.breaks}
    return {charge.rate} if charge.rate else set()


def _follows(trial: ModuleTrial, build: Build, charge: Charge, section: Any) -> bool:  # noqa: ANN401 - any struct
    """Whether a charge changes where some figure of the section is raised."""
    earlier = trial.earlier(build)
    for path, _ in list(figures(section))[:MOST_FIGURES]:
        try:
            raised = changed(section, path, A_LITTLE)
        except ValueError:  # a margin of more than all, for instance
            continue
        if charge not in trial.charges(build, trial.order, earlier, raised):
            return True
    return False


def wrong_dimension(trial: ModuleTrial) -> Iterator[str]:
    """Quantities that cannot be in the unit of their rate: seconds for hours, grams for kilograms, mm2 for m2."""
    for build, charge, label in _all(trial):
        quantity, mass = charge.per_plate, build.blank.volume * trial.shop.materials[build.body.material].density
        if (charge.work_center or isinstance(charge.rate, PerHour)) and quantity > MOST_HOURS:
            yield f"{charge.item!r} takes {quantity:g} hours a plate: hours are asked for, are these seconds? {label}"
        if isinstance(charge.rate, PerKilogram) and quantity > BEYOND * mass:
            yield f"{charge.item!r} takes {quantity:g} kg of a blank of {mass:g} kg: are these grams? {label}"
        if isinstance(charge.rate, PerSquareMetre) and quantity > BEYOND * build.body.surface / 1e6:
            surface = build.body.surface / 1e6
            yield f"{charge.item!r} takes {quantity:g} m2 of a plate of {surface:g} m2: are these mm2? {label}"
        if charge.lot and not trial.plugin.whole_lots:
            yield f"{charge.item!r} is charged in whole lots, and the module does not say so (whole_lots=True); {label}"


def cheaper_at_higher_rates(trial: ModuleTrial) -> Iterator[str]:
    """Figures of the module's own section, and of work centres, that lower the price when they rise."""
    tree = {**trial.card.sections, "work_centers": trial.card.work_centers}
    own = (trial.name, *(f"work_centers.{center}" for center in trial.plugin.work_centers))
    for path, leaf in figures(tree):
        if not any(path == one or path.startswith(f"{one}.") for one in own):
            continue
        try:
            higher = changed(tree, path, A_LITTLE)
        except ValueError:  # a later piece dearer than an earlier one, for instance
            continue
        sections = {name: higher[name] for name in trial.card.sections}
        card = replace(trial.card, sections=sections, work_centers=higher["work_centers"])
        for label, build in trial.builds:
            before, after = (trial.cost(build, trial.order.quantity, one) for one in (trial.card, card))
            if after < before:
                costs = f"an order costs {amount(after, card)} instead of {amount(before, card)}"
                yield f"with {path} raised from {shown(leaf)} by a hundredth {costs}; {label}"
                break
