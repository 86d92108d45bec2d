"""Checks of a family's builds: its examples can be made, every size is one, and every cost module prices them."""

from collections.abc import Iterator
from math import isfinite
from typing import Final

import msgspec
from msgspec import Struct

from tallyplate.contract import Build, Points, Refusal, ShopData
from tallyplate.findings import Case, Severity, of_plate
from tallyplate.pricing import PluginFailure
from tallyplate.proof.laws_of_money import lines_that_bear_out
from tallyplate.testkit.family_trial import Built, FamilyTrial
from tallyplate.testkit.trial import Question

SLACK: Final = 1e-6
"""Relative slack of sums of floats."""
AS_MANY: Final = 3


def bad_examples(trial: FamilyTrial) -> Iterator[str]:
    """Examples that are refused or come with an error, and any plate that raises."""
    needed, stated = trial.examples_to_price, len(trial.examples)
    for place, (plate, (question, answer)) in enumerate(zip(trial.plates, _answered(trial), strict=True)):
        if isinstance(answer, Refusal):
            if plate in needed:
                yield f"the example {question.label} is refused: {answer}"
        elif isinstance(answer, Exception):
            yield f"building raises {type(answer).__name__}: {answer}{trial.place(answer)}; asked for {question.label}"
        elif not isinstance(answer, Built) or not isinstance(answer.build, Build):
            yield f"building gives no Build; asked for {question.label}"
        elif place < stated:
            for finding in of_plate(Case(answer.build, trial.shop)):
                if finding.severity is Severity.ERROR:
                    yield f"the example {question.label} cannot be made: {finding.pointer}: {finding.message}"


def unsound(trial: FamilyTrial) -> Iterator[str]:
    """Builds that no shop could make."""
    for question, answer in _answered(trial):
        if isinstance(answer, Built):
            for fault in _faults(answer.build, trial):
                yield f"{fault}; asked for {question.label}"


def _answered(trial: FamilyTrial) -> Iterator[tuple[Question, object]]:
    yield from zip(trial.questions, trial.watched.answers, strict=True)


def _faults(build: Build, trial: FamilyTrial) -> Iterator[str]:
    for where, size in _numbers(build, "build"):
        if not (isfinite(size) and size >= 0):
            yield f"{where} is {size}, and must be finite and at least 0"
    yield from _of_body(build)
    yield from _of_names(build, trial.shop)
    if build.setups < 1:
        yield "it is made without being clamped once (setups)"
    for group in build.holes:
        if not group.kind or not group.hole.bores or group.count < 1:
            yield f"a group of {group.count} {group.kind or 'nameless'} holes with {len(group.hole.bores)} bores"


def _of_body(build: Build) -> Iterator[str]:
    """Bodies without substance, or larger than their box, or than what they are cut from."""
    body = build.body
    for name in ("length", "width", "thickness", "volume"):
        if not getattr(body, name) > 0:
            yield f"body.{name} is {getattr(body, name)}, and must be more than 0"
    box = body.length * body.width
    if body.volume > box * body.thickness * (1 + SLACK) or body.plan_area > box * (1 + SLACK):
        yield "the body is larger than its own bounding box"
    for blank in (build.blank, *build.other_blanks):
        if any(sawn < size - SLACK for sawn, size in zip(_sides(blank), _sides(body), strict=True)):
            yield f"the blank ({_said(blank)}) does not hold the body ({_said(body)})"


def _of_names(build: Build, shop: ShopData) -> Iterator[str]:
    """Names that the shop does not know, and a body that weighs nothing."""
    material = shop.materials.get(build.body.material)
    if material is None:
        yield f"the material {build.body.material!r} is not one of the shop's"
    elif not shop.mass(build.body) > 0:
        yield f"the body weighs {shop.mass(build.body)} kg"
    if build.finish not in shop.finishes:
        yield f"the finish {build.finish!r} is not one of the shop's"


def _sides(box: object) -> tuple[float, float, float]:
    """Thickness last, and the two others by size: a plate may lie either way in its sheet."""
    length, width, thickness = (float(getattr(box, name)) for name in ("length", "width", "thickness"))
    return max(length, width), min(length, width), thickness


def _said(box: object) -> str:
    return " x ".join(f"{getattr(box, name):g}" for name in ("length", "width", "thickness")) + " mm"


def _numbers(node: object, path: str) -> Iterator[tuple[str, float]]:
    """Every number of a build, with where it stands; given points and what the pattern gave up may lie anywhere."""
    if isinstance(node, float | int) and not isinstance(node, bool):
        yield path, node
    elif isinstance(node, Points):
        yield f"{path}.path", node.path
    elif isinstance(node, Struct):
        for name in node.__struct_fields__:
            if name not in {"x", "y", "turn", "given_up"}:
                yield from _numbers(getattr(node, name), f"{path}.{name}" if path != "build" else name)
    elif isinstance(node, tuple):
        for place, part in enumerate(node):
            yield from _numbers(part, f"{path}[{place}]")


def unpriced(trial: FamilyTrial) -> Iterator[str]:
    """Plates that an installed cost module cannot price, or whose lines cannot be multiplied again."""
    for plate, (question, answer) in zip(trial.plates, _answered(trial), strict=True):
        if not isinstance(answer, Built):
            continue
        try:
            price = trial.installation.price({"plate": plate, "quantity": AS_MANY}, trial.card.effective_from)
            msgspec.json.encode(price)
        except PluginFailure as failure:
            yield f"{failure}; asked for {question.label}"
        except Exception as error:  # noqa: BLE001 - what is reported, whatever it is
            yield f"pricing raises {type(error).__name__}: {error}; asked for {question.label}"
    yield from lines_that_bear_out(trial.bench)
