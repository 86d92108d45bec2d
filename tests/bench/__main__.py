"""Print every ratio, and draw them: `make bench`."""

from pathlib import Path

from tests.bench import alternatives, bulk, columns, endpoint, library, start
from tests.bench.drawing import bars
from tests.bench.peers import report as peers
from tests.bench.ratios import Row

CHART = Path("build") / "bench.svg"

if __name__ == "__main__":
    rows: list[Row] = []
    for part in (library, alternatives, endpoint, start, bulk, columns, peers):
        for said in part.report():
            print(said, flush=True)
            rows += [said] if isinstance(said, Row) else []
    CHART.parent.mkdir(exist_ok=True)
    CHART.write_text(bars("Ratios of one run", rows), encoding="utf-8")
    print(f"drawn in {CHART}")
