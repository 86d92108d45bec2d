"""What a bulk run is asked to do, and what it came to."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Literal

from msgspec import Struct

Lines = Literal["nested", "flat", "none"]

Watch = Callable[[str, int, int], None]
"""Told of progress: what is being done, how much of it is done, and how much there is."""


class Job(Struct, frozen=True):
    """Prices every row of a file into another. Suffixes say what the files hold: .csv, .parquet, else NDJSON.

    `lines` says what becomes of the lines of a price: a record for each plate with its lines inside (`nested`), one for
    each line (`flat`), or the plate's total alone, without checks (`none`). `data` is the folder of rate cards and
    shop data, the demonstration's without one. `today` is the date of rows that state none.
    """

    source: Path
    target: Path
    quarantine: Path
    lines: Lines = "nested"
    data: Path | None = None
    today: date | None = None

    @property
    def folder(self) -> Path:
        """Where the shards stand until the outputs are complete: beside the target, so that a rename moves them."""
        return self.target.with_name(f"{self.target.name}.parts")


class Totals(Struct, frozen=True):
    """Rows, and money by currency and module. Rows = priced + quarantined."""

    rows: int = 0
    priced: int = 0
    quarantined: int = 0
    money: dict[str, dict[str, Decimal]] = {}

    def __add__(self, other: "Totals") -> "Totals":
        money = {currency: dict(modules) for currency, modules in self.money.items()}
        for currency, modules in other.money.items():
            into = money.setdefault(currency, {})
            for module, amount in modules.items():
                into[module] = into.get(module, Decimal()) + amount
        rows, priced = self.rows + other.rows, self.priced + other.priced
        return Totals(rows, priced, self.quarantined + other.quarantined, money)
