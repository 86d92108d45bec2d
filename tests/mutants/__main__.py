"""Try mutants of what makes a price, and print how many the tests killed: `make mutants`."""

import argparse
import sys
from collections import Counter
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

from tests.mutants.changes import Mutant, mutants
from tests.mutants.equivalent import EQUIVALENT
from tests.mutants.trial import FORK, SELECTIONS, Trial, copy_sources, load_libraries

ROOT = Path(__file__).parents[2]
SOURCES = (
    "service/tallyplate/charging.py",
    "service/tallyplate/contract/holes.py",
    "service/tallyplate/lattice.py",
    "service/tallyplate/money.py",
    "service/tallyplate/pricing.py",
    "plugins/tallyplate_plugins/machining.py",
    "plugins/tallyplate_plugins/costs/*.py",
)
WORKERS = 2


def every_mutant(root: Path) -> list[Mutant]:
    """All mutants of all sources, equivalent ones too."""
    files = [path for pattern in SOURCES for path in sorted(root.glob(pattern))]
    return [mutant for path in files for mutant in mutants(path.relative_to(root).as_posix(), path.read_text())]


def report(tried: Sequence[Mutant], survived: Sequence[Mutant], equivalent: Counter[str]) -> None:
    """A row a file, and the sum."""
    alive, of = Counter(mutant.file for mutant in survived), Counter(mutant.file for mutant in tried)
    rows = [(file, count, alive[file], equivalent[file]) for file, count in of.items()]
    print(f"{'killed':>7} {'of':>5} {'share':>7} {'survived':>9} {'equivalent':>11}")
    for file, count, left, alike in [*rows, ("all", len(tried), len(survived), sum(equivalent.values()))]:
        print(f"{count - left:7} {count:5} {1 - left / count:7.1%} {left:9} {alike:11}  {file}")


def main() -> None:
    """Try all, a file's, or a sample of them."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutants", description=__doc__)
    parser.add_argument("--file", default="", help="only files whose path contains this")
    parser.add_argument("--sample", type=int, help="try so many, drawn at random")
    parser.add_argument("--seed", type=int, default=0, help="of the sample")
    parser.add_argument("--tests", nargs="+", help="see what these tests kill alone")
    asked = parser.parse_args()
    load_libraries()
    with TemporaryDirectory(prefix="mutants-") as folder:
        base = Path(folder) / "base"
        copy_sources(ROOT, base)
        selections = (asked.tests,) if asked.tests else SELECTIONS
        trial = Trial.of(base, selections, nearest=not asked.tests)
        for test in trial.known:
            print(f"fails without any change, and is left out: {test}")
        every = every_mutant(base)
        for key in EQUIVALENT.keys() - {mutant.key for mutant in every}:
            print(f"held to be equivalent, but no mutant any more: {key}")
        here = [mutant for mutant in every if asked.file in mutant.file]
        equivalent = Counter(mutant.file for mutant in here if mutant.key in EQUIVALENT)
        chosen = [mutant for mutant in here if mutant.key not in EQUIVALENT]
        if asked.sample is not None and asked.sample < len(chosen):
            chosen = sorted(Random(asked.seed).sample(chosen, asked.sample))  # noqa: S311 - no secret
        survived = []
        with ProcessPoolExecutor(WORKERS, mp_context=FORK) as pool:
            for number, (mutant, alive) in enumerate(
                zip(chosen, pool.map(trial.survives, chosen), strict=True), start=1
            ):
                print(f"{number} of {len(chosen)}", end="\r", file=sys.stderr)
                if alive:
                    survived.append(mutant)
                    print(f"survived: {mutant.file}:{mutant.line}: {mutant.scope}: {mutant.change}", flush=True)
    if chosen:
        report(chosen, survived, equivalent)


if __name__ == "__main__":
    main()
