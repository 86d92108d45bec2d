"""Checks that plates which have more never cost less, for families of any shape.

Whether a plate has more is seen on the builds: growth in a spec may take a hole away, and then says nothing.
"""

from collections import Counter
from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import Final

from tallyplate.contract import Build, Length, Marking, Mounting, Pattern
from tallyplate.proof.bench import Tried
from tallyplate.proof.counter_examples import cheaper, described
from tallyplate.proof.laws_of_plates import larger_plates, marked_plates
from tallyplate.proof.plates import FREE, Json, mm
from tallyplate.proof.specs import asks, flat
from tallyplate.testkit.check import Exempt
from tallyplate.testkit.examples import bare, fields
from tallyplate.testkit.family_trial import FamilyTrial
from tallyplate.units import length

Dominates = Callable[[Build, Build], bool]

TIMES: Final = (1.0, 1.001, 1.1, 1.37, 1.9)
MANY: Final = 10
MOST_PLACES: Final = 20_000
"""Holes of one kind whose places are compared one by one."""


def free(trial: FamilyTrial) -> Iterator[Json]:
    """The plates to try, held by nothing where that can be said, so that no hole makes way."""
    held = asks(trial.plugin.spec, "mounting", Mounting)
    yield from (tried.plate | {"mounting": FREE} if held else tried.plate for tried in trial.bench.sample)


def cheaper_larger(trial: FamilyTrial) -> Iterator[str]:
    """Larger plates that cost less: over every size that the shop data state where plates are flat and rectangular."""
    if flat(trial.plugin.spec):
        yield from larger_plates(trial.bench)
    sizes = [
        field.encode_name for field in fields(trial.plugin.spec) if getattr(bare(field.type), "cls", None) is Length
    ]
    for plate in free(trial):
        for name in sizes:
            if name in plate:
                chain = (trial.bench.tried(plate | {name: mm(times * length(plate[name]))}) for times in TIMES)
                yield from _cheaper([one for one in chain if one], name, _grown, "a larger plate must never cost less")


def _cheaper(chain: list[Tried], name: str, dominates: Dominates, law: str) -> Iterator[str]:
    """Each plate of a chain that costs less than the one before although its build has more."""
    for lesser, greater in pairwise(chain):
        if dominates(lesser.build, greater.build):
            for quantity in (lesser.few, MANY * lesser.few):
                change = f"with {described({name: greater.plate[name]})}"
                yield from cheaper(lesser, greater, (quantity, quantity), change, law)


def _grown(lesser: Build, greater: Build) -> bool:
    """Whether one body outgrows another of the same thickness, with as many holes of each kind at least.

    Of two thicknesses cut from one stock, the thinner has more to mill away.
    """
    before, after = lesser.body, greater.body
    sizes = ("length", "width", "plan_area", "perimeter", "surface")
    return (
        after.volume > before.volume
        and after.thickness == before.thickness
        and all(getattr(after, name) >= getattr(before, name) for name in sizes)
        and _kinds(lesser) <= _kinds(greater)
    )


def _kinds(build: Build) -> Counter[str]:
    counts: Counter[str] = Counter()
    for group in build.holes:
        counts[f"{group.face} {group.kind}"] += group.count
    return counts


def cheaper_with_more_holes(trial: FamilyTrial) -> Iterator[str]:
    """Patterns that cost less than some of their own holes: a pitch three times as wide leaves every third."""
    need_pitch(trial)
    law = "more holes in the same plate must never cost less"
    for plate in free(trial):
        if coarse := at_pitch(plate, 3.0):
            chain = [one for one in (trial.bench.tried(coarse), trial.bench.tried(plate)) if one]
            yield from _cheaper(chain, "pattern", _holds_all, law)


def need_pitch(trial: FamilyTrial) -> None:
    """Exempts a family whose plates have no pitch to change."""
    if not asks(trial.plugin.spec, "pattern", Pattern):
        reason = "its spec has no field `pattern` of the contract's type Pattern, so that there is no pitch to change"
        raise Exempt(reason)


def at_pitch(plate: Json, times: float) -> Json | None:
    """The same plate with every pitch so many times as wide; None where no pitch is said."""
    pattern = plate.get("pattern", {})
    lattices = {name: pattern[name] for name in ("locating", "tapped") if name in pattern}
    if not lattices and "pitch" not in pattern:
        return None
    wider = {name: _wider(times, one) for name, one in lattices.items()}
    return plate | {"pattern": pattern | wider if wider else _wider(times, pattern)}


def _wider(times: float, lattice: Json) -> Json:
    return lattice | {"pitch": mm(times * length(lattice["pitch"]))}


def _holds_all(lesser: Build, greater: Build) -> bool:
    """Whether two builds have one body, and one has every hole of the other."""
    if lesser.body != greater.body:
        return False
    fewer, more = _places(lesser), _places(greater)
    return fewer is not None and more is not None and all(more.get(kind, set()) >= fewer[kind] for kind in fewer)


def _places(build: Build) -> dict[object, set[tuple[float, float]]] | None:
    """The places of each kind of hole to the micrometre; None where there are too many to compare."""
    if sum(group.count for group in build.holes) > MOST_PLACES:
        return None
    places: dict[object, set[tuple[float, float]]] = {}
    for group in build.holes:
        held = places.setdefault((group.face, group.kind, group.hole), set())
        held.update((round(x, 3), round(y, 3)) for x, y in group.layout.positions())
    return places


def cheaper_marked(trial: FamilyTrial) -> Iterator[str]:
    """More marked edges that cost less."""
    if not asks(trial.plugin.spec, "marking", Marking):
        reason = "its spec has no field `marking` of the contract's type Marking"
        raise Exempt(reason)
    yield from marked_plates(trial.bench)
