"""What a cost module says, and what it is told: charges, lines and the order."""

from collections.abc import Iterator
from datetime import date
from enum import Enum
from itertools import pairwise, zip_longest

from msgspec import Struct

from tallyplate.contract.figures import PerPiece, Rate, Sum
from tallyplate.contract.services import NO_SERVICES, Services


class Stage(Enum):
    """When a module speaks. It sees the lines of earlier stages only, so that the order of modules cannot matter."""

    MAKE = 0
    OVERHEAD = 1
    MARGIN = 2
    ORDER = 3


class Order(Struct, frozen=True, gc=False):
    """How many, when, and what is asked for besides the plates."""

    quantity: int
    as_of: date
    need_by: date | None = None
    services: Services = NO_SERVICES


class Break(Struct, frozen=True, forbid_unknown_fields=True, rename={"from_piece": "from"}):
    """From which piece of an order on a piece costs so much."""

    from_piece: int
    price: PerPiece


class PriceBreaks(Struct, frozen=True, forbid_unknown_fields=True):
    """A graduated price list: each piece costs what its own place in the order says, so more never costs less.

    Common practice, no source. A later piece may not be dearer than an earlier one.
    """

    breaks: tuple[Break, ...]

    def __post_init__(self) -> None:
        """A list starts with the first piece, rises in pieces and never rises in price."""
        starts = [step.from_piece for step in self.breaks]
        if not starts or starts[0] != 1 or starts != sorted(set(starts)):
            message = "breaks start from piece 1 and rise"
            raise ValueError(message)
        for earlier, later in pairwise(self.breaks):
            if later.price > earlier.price:
                message = f"the price rises from piece {later.from_piece} on; a later piece may not be dearer"
                raise ValueError(message)

    def steps(self, count: int) -> Iterator[tuple[PerPiece, int, int]]:
        """Each step that a count of pieces reaches: its price, its first and its last piece."""
        for step, following in zip_longest(self.breaks, self.breaks[1:]):
            last = min(count, following.from_piece - 1) if following else count
            if last >= step.from_piece:
                yield step.price, step.from_piece, last


class Charge(Struct, frozen=True, gc=False):
    """One priced item: how much of it a plate takes and how much an order takes, and what a unit costs.

    The engine alone multiplies and rounds. The order's quantity is plates x `per_plate` + `per_order`, in the unit of
    the rate; for a `Share` that is minor units of the currency. Time names its `work_center` instead of a rate, and is
    in hours. Where `lot` is given, `per_plate` is the share of a lot that one plate takes, and the order takes whole
    lots of that size. `at_least` is the least that the item may cost: the engine puts what is missing on a line of its
    own.

    In an order of several kinds of plates, like charges of one module share whole lots, price breaks and minima, and
    what an order takes is due for each kind. Where it is `common`, it is due once: as much as the kind that takes most.
    """

    item: str
    per_plate: float
    rate: Rate | PriceBreaks | None = None
    work_center: str = ""
    basis: str = ""
    per_order: float = 0.0
    lot: float = 0.0
    at_least: Sum | None = None
    common: bool = False


def work(
    item: str, seconds: float, work_center: str, basis: str = "", *, once: float = 0.0, common: bool = False
) -> Charge:
    """A charge for time at a work centre: `seconds` a plate, and `once` an order, `common` to all its kinds or not."""
    return Charge(item, seconds / 3600, None, work_center, basis, once / 3600, common=common)


class Item(Struct, frozen=True, gc=False):
    """What a line is of: the same for any quantity. `decimals` is the resolution of a quantity in `unit`."""

    module: str
    item: str
    unit: str
    decimals: int
    rate: Rate
    work_center: str
    basis: str


class Line(Struct, frozen=True, gc=False):
    """A priced item: `quantity` counts 10**-`decimals` of its unit, `amount` is in minor units of the currency."""

    of: Item
    quantity: int
    amount: int


def purchases(lines: tuple[Line, ...]) -> int:
    """What was bought, in minor units: every line that is not time at a work centre."""
    return sum([line.amount for line in lines if not line.of.work_center])


def labour(lines: tuple[Line, ...]) -> int:
    """What time cost, in minor units."""
    return sum([line.amount for line in lines if line.of.work_center])


def subtotal(lines: tuple[Line, ...]) -> int:
    """All that earlier stages cost, in minor units."""
    return sum([line.amount for line in lines])
