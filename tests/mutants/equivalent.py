"""Mutants that price every plate as before: known by file, function or class around, and change."""

from typing import Final

CHARGING: Final = "service/tallyplate/charging.py"
LATTICE: Final = "service/tallyplate/lattice.py"
MACHINING: Final = "plugins/tallyplate_plugins/machining.py"
MONEY: Final = "service/tallyplate/money.py"
PRICING: Final = "service/tallyplate/pricing.py"

SQUARING: Final = "plugins/tallyplate_plugins/costs/squaring.py"
ALONG: Final = "along(length, width)"
ACROSS: Final = "along(width, length)"
COLUMNS_KEPT: Final = "kept(self.columns, self.bare_columns)"
ROWS_KEPT: Final = "kept(self.rows, self.bare_rows)"
ODD: Final = "a difference is odd where the sum is"
NONE_THERE: Final = "there the count is nothing by either way"
PECK: Final = "pecking(bore.depth, bore.diameter, {}.peck_from)"
SWAPPED: Final = "pecking(bore.depth, {}.peck_from, bore.diameter)"
PRODUCT: Final = "a peck is the product of the two, in whichever order"
EXACT: Final = "a power of ten beyond the last that is looked up"

EQUIVALENT: Final[dict[tuple[str, str, str], str]] = {
    (LATTICE, "Points.path", "zip(self.at, self.at[1:], strict=False) -> zip(self.at[1:], self.at, strict=False)"): (
        "a way is as long in both directions"
    ),
    (LATTICE, "Lattice.count", f"nodes_kept({COLUMNS_KEPT}, {ROWS_KEPT}) -> nodes_kept({ROWS_KEPT}, {COLUMNS_KEPT})"): (
        "nodes of either colour are as many with columns and rows exchanged"
    ),
    (LATTICE, "Lattice._columns", "first + row -> first - row"): ODD,
    (LATTICE, "Lattice.between", "column + row -> column - row"): ODD,
    (LATTICE, "Lattice.between", "other_column + other_row -> other_column - other_row"): ODD,
    (LATTICE, "count_on", "beyond > 0 -> beyond >= 0"): NONE_THERE,
    (LATTICE, "count_on", "first < places -> first <= places"): NONE_THERE,
    (LATTICE, "count_on", "beyond > first -> beyond >= first"): NONE_THERE,
    (LATTICE, "Points.path", "distance(x2 - x1, y2 - y1) -> distance(y2 - y1, x2 - x1)"): "as far either way",
    (PRICING, "lead_days", "shop.limits.rush or 1: 1 -> 2"): "a shop that states none takes no order that is rushed",
    (PRICING, "work_out", "len(builds) // len(said) -> len(builds) * len(said)"): "what is beyond the last is not read",
    (PRICING, "lead_days", "smaller(days, hurried) -> smaller(hurried, days)"): "the smaller of two, in either order",
    (SQUARING, "face_pass", f"smaller({ALONG}, {ACROSS}) -> smaller({ACROSS}, {ALONG})"): "likewise",
    (MACHINING, "Tools.drill", f"{PECK.format('cutting')} -> {SWAPPED.format('cutting')}"): PRODUCT,
    (MACHINING, "Tools._pecks", f"{PECK.format('self.cutting')} -> {SWAPPED.format('self.cutting')}"): PRODUCT,
    (MACHINING, "Tools._pecks", "pecking(bore.depth, bore.diameter, self.cutting.peck_from)[0]: 0 -> 1"): (
        "a drill travels more where it withdraws, and nowhere else"
    ),
    (MONEY, "", "range(25): 25 -> 26"): EXACT,
    (MONEY, "rescale", "drop <= 0 -> drop < 0"): "divided by one, nothing is rounded",
    (MONEY, "text", "value < EXACT_AS_FLOAT -> value <= EXACT_AS_FLOAT"): "the bound itself prints right both ways",
    (PRICING, "on_each_blank", "strict=True: True -> False"): "builds and parts are made together, as many of each",
    (CHARGING, "lines_of", "ceil(plates * one.per_plate * (1 - GUARD)) if one.lot else 0: 0 -> 1"): (
        "lots are read only where there is one"
    ),
}
"""Why each of them cannot be told from the genuine."""
