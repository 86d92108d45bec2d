"""Lengths for reading, in the unit that a document is written in."""

from decimal import Decimal
from math import floor
from typing import Final, Literal

from msgspec import Struct

from tallyplate.lattice import GUARD

UnitName = Literal["mm", "in"]


class Measure(Struct, frozen=True):
    """A unit that a document is written in: its length in mm, and how many decimals a size and a place take."""

    unit: UnitName
    millimetres: float
    size_places: int
    places: int

    def size(self, millimetres: float) -> str:
        """A size, such as a diameter, without trailing zeros."""
        return self._text(millimetres, self.size_places)

    def place(self, millimetres: float) -> str:
        """A coordinate, to less than a tenth of a micrometre, without trailing zeros."""
        return self._text(millimetres, self.places)

    def tolerance(self, millimetres: float) -> str:
        """A width that may not be exceeded, one decimal finer than a size and rounded down."""
        places = self.size_places + 1
        return self._text(
            floor(millimetres / self.millimetres * 10**places + GUARD) / 10**places * self.millimetres, places
        )

    def decimal(self, millimetres: float) -> Decimal:
        """A coordinate as a figure for a table."""
        return Decimal(self.place(millimetres))

    def _text(self, millimetres: float, places: int) -> str:
        text = f"{millimetres / self.millimetres:z.{places}f}"
        return text.rstrip("0").rstrip(".")


MEASURES: Final[dict[str, Measure]] = {"mm": Measure("mm", 1.0, 3, 4), "in": Measure("in", 25.4, 4, 6)}
"""The international inch is 25.4 mm exactly."""
