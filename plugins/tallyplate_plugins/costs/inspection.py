"""Inspection: holes probed on the measuring machine, more of them the tighter the position tolerance.

Probed = close-tolerance and threaded holes x share of the tolerance class, rounded up a plate; time in s = set-up a
plate + probed x time each (common practice, no source).
"""

from collections.abc import Iterable
from math import ceil

from msgspec import Struct

from tallyplate.contract import (
    CONTRACT,
    Build,
    Charge,
    CostModule,
    Length,
    Line,
    Order,
    Percentage,
    Seconds,
    ShopData,
    Stage,
    work,
)


class ToleranceClass(Struct, frozen=True, forbid_unknown_fields=True):
    """Position tolerances below a limit, and the share of holes that is probed."""

    below: Length
    probed: Percentage


class Figures(Struct, frozen=True, forbid_unknown_fields=True):
    """Classes from tight to wide, the share beyond the widest, and times."""

    classes: tuple[ToleranceClass, ...]
    otherwise: Percentage
    setup: Seconds
    hole: Seconds

    def __post_init__(self) -> None:
        """A wider tolerance may not be probed more than a tighter one."""
        limits = [step.below for step in self.classes]
        shares = [*(step.probed for step in self.classes), self.otherwise]
        if limits != sorted(set(limits)) or shares != sorted(shares, reverse=True):
            message = "classes rise in their limit and fall in the share probed"
            raise ValueError(message)

    def share(self, tolerance: float) -> float:
        """Share of holes probed at a position tolerance."""
        return next((step.probed for step in self.classes if tolerance < step.below), self.otherwise)


def charges(
    build: Build,
    order: Order,
    shop: ShopData,
    rates: None,
    earlier: tuple[Line, ...],
) -> Iterable[Charge]:
    """Measuring time of all plates of the order."""
    own = shop.figures(Figures)
    holes = sum(group.count for group in build.holes if not group.mounting)
    share = own.share(build.position_tolerance)
    probed = ceil(holes * share - 1e-9)
    seconds = own.setup + probed * own.hole
    yield work("probing holes", seconds, "inspection", f"{probed} of {holes} holes a plate")


MODULE = CostModule(
    contract=CONTRACT,
    stage=Stage.MAKE,
    place=80,
    title="Inspection",
    charges=charges,
    figures=Figures,
    work_centers=("inspection",),
    reads_blank=False,
    reads_order=False,
)
