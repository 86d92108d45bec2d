"""Mutants that price every plate as before: known by file, function or class around, and change."""

from typing import Final

COSTS: Final = "plugins/tallyplate_plugins/costs"
LATTICE: Final = "service/tallyplate/lattice.py"
PRICING: Final = "service/tallyplate/pricing.py"

EQUIVALENT: Final[dict[tuple[str, str, str], str]] = {
    **{
        (f"{COSTS}/{module}.py", "", "False -> True"): "a module said to read what it does not is asked more often"
        for module in (
            "finishing", "holes", "inserts", "inspection", "margin", "marking", "minimum", "mounting", "overhead",
            "packing", "setup", "squaring", "stock",
        )
    },
    (LATTICE, "Lattice.takes", "column + row -> column - row"): "odd where the sum is odd",
    (LATTICE, "Lattice.nodes", "row + (self.taken is Taken.ODD) -> row - (self.taken is Taken.ODD)"): "as above",
    (LATTICE, "Lattice.nodes_within", "column + row -> column - row"): "as above",
    (LATTICE, "Points.path", "zip(self.at, self.at[1:], strict=False) -> zip(self.at[1:], self.at, strict=False)"): (
        "a way is as long in both directions"
    ),
}  # fmt: skip
"""Why each of them cannot be told from the genuine."""
