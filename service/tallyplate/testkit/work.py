"""Checks that pricing time does not grow with the number of holes; it may grow with the number of rows."""

from collections.abc import Iterator
from functools import partial
from itertools import islice
from typing import Final

from msgspec.structs import replace

from tallyplate.contract import Build, HoleGroup, Lattice
from tallyplate.proof.bench import priced
from tallyplate.proof.plates import Json
from tallyplate.testkit.check import Exempt
from tallyplate.testkit.counting import steps
from tallyplate.testkit.examples import asked
from tallyplate.testkit.family_trial import FamilyTrial
from tallyplate.testkit.growth_of_plates import at_pitch, free, need_pitch
from tallyplate.testkit.module_trial import ModuleTrial

FINER: Final = 0.05
"""A twentieth of the pitch: four hundred times the holes in twenty times the rows."""
PER_ROW: Final = 100
"""Lines of Python that may be run for each row more, and for each position more that makes way for another hole."""
SPARE: Final = 500
"""Lines more that may come from rare branches."""
PLATES: Final = 3

Counted = tuple[int, Build]
"""Lines run, and what was built."""


def grows_with_holes(trial: FamilyTrial) -> Iterator[str]:
    """A plate and the same with a twentieth of its pitch: lines of Python run to build and price each."""
    need_pitch(trial)
    compared = list(islice(_compared(trial), PLATES))
    if not compared:
        reason = "no plate could be built with a twentieth of its pitch"
        raise Exempt(reason)
    for plate, (few, coarse), (many, dense) in compared:
        rows = _rows(dense) - _rows(coarse) + len(dense.given_up) - len(coarse.given_up)
        if many - few > SPARE + PER_ROW * max(0, rows):
            told = _grows(coarse, few, dense, many)
            yield f"{told}; asked for {asked(plate)}, and for a twentieth of its pitch"


def _compared(trial: FamilyTrial) -> Iterator[tuple[Json, Counted, Counted]]:
    """Plates that can be built at both pitches."""
    for plate in free(trial):
        fine = at_pitch(plate, FINER)
        coarse_one, fine_one = _counted(trial, plate), fine and _counted(trial, fine)
        if coarse_one and fine_one:
            yield plate, coarse_one, fine_one


def _counted(trial: FamilyTrial, plate: Json) -> Counted | None:
    """Lines run to build and price a plate, once what is remembered of its kind is known; None where refused."""
    if not trial.bench.tried(plate):
        return None
    made: list[Build] = []

    def build_and_price() -> None:
        if tried := trial.bench.tried(plate):
            priced(tried.work, 1)
            made.append(tried.build)

    count = steps(build_and_price)
    return count, made[0]


def _grows(coarse: Build, few: int, dense: Build, many: int) -> str:
    lines = f"{_holes(coarse)} holes take {few} lines of Python and {_holes(dense)} holes {many}"
    return f"{lines}: the work grows with the holes"


def _rows(build: Build) -> int:
    return sum(group.layout.rows if isinstance(group.layout, Lattice) else group.count for group in build.holes)


def _holes(build: Build) -> int:
    return sum(group.count for group in build.holes)


TIMES: Final = 30
"""So many times the columns and the rows: nine hundred times the holes, counted in closed form."""


def charges_by_the_hole(trial: ModuleTrial) -> Iterator[str]:
    """A build and the same with far more holes: lines of Python run to charge each."""
    for label, build in trial.builds:
        dense = replace(build, holes=tuple(map(_denser, build.holes)))
        if _holes(dense) > _holes(build):
            few, many = (_lines(trial, one) for one in (build, dense))
            if many - few > SPARE:
                yield f"{_grows(build, few, dense, many)}; asked for {label}"


def _lines(trial: ModuleTrial, build: Build) -> int:
    earlier = trial.earlier(build)
    trial.charges(build, trial.order, earlier)
    return steps(partial(trial.charges, build, trial.order, earlier))


def _denser(group: HoleGroup) -> HoleGroup:
    layout = group.layout
    if not isinstance(layout, Lattice) or layout.spans:
        return group
    return replace(group, layout=replace(layout, columns=TIMES * layout.columns, rows=TIMES * layout.rows))
