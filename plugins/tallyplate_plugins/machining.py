"""Cycle times of holes and milled features from cutting speed, feed and depth. Lengths are mm, times s.

Spindle speed n = vc / (pi D), feed speed vf = f n, time = path / vf, a drill's path with its point (published: Groover,
Fundamentals of Modern Manufacturing, as solved exercises on it print it; Mitsubishi Materials and Keyence, drilling,
without the point). A tap goes in and out at a pitch a turn (published: eisc.com, tapping formulas). Milled out = volume
/ removal rate. Sequences, pecks, allowances, feeding a reamer out, and one helical pass for a thread: common practice,
no source.
"""

from collections.abc import Iterator
from math import ceil, pi, radians, tan

from msgspec import Struct

from tallyplate.contract import Bore, Hole, HoleGroup, Material, Recess, ShopData, Thread, counted, remembered


class Step(Struct, frozen=True, gc=False):
    """One tool's work in one hole."""

    operation: str
    seconds: float


class Cycle(Struct, frozen=True, gc=False):
    """What one hole takes once a tool stands over it, how many tools it needs, and the steps in words."""

    seconds: float
    tools: int
    steps: str


def spindle(cutting_speed: float, diameter: float, limit: float) -> float:
    """Spindle speed in rev/s for a cutting speed in mm/s: n = vc / (pi D), held to the machine's limit."""
    return min(cutting_speed / (pi * diameter), limit)


def drill_point(diameter: float, angle: float) -> float:
    """Length of a drill's point: A = D / 2 x tan(90 - angle / 2) (Groover)."""
    return diameter / 2 * tan(radians(90 - angle / 2))


def pecking(depth: float, diameter: float, peck_diameters: float) -> tuple[int, float]:
    """How often a drill withdraws on its way, and the rapid travel in mm that this adds.

    One peck is `peck_diameters` deep; after the i-th the drill goes up and down i pecks, so k of them travel
    2 q (1 + 2 + .. + k) = q k (k + 1).
    """
    peck = peck_diameters * diameter
    withdrawals = max(0, ceil(depth / peck - 1e-9) - 1)
    return withdrawals, peck * withdrawals * (withdrawals + 1)


class Tools:
    """The times of each operation in one material on the shop's machine."""

    def __init__(self, material: Material, shop: ShopData) -> None:
        self.speeds, self.cutting, self.machine = material.speeds, shop.cutting, shop.machine

    def _fed(self, distance: float, feed: float, cutting_speed: float, diameter: float) -> float:
        return distance / (feed * spindle(cutting_speed, diameter, self.machine.spindle))

    def drill(self, bore: Bore, *, through: bool, pilot: bool = False) -> float:
        """Fed from above the face through the point's length; rapid out. A pilot hole spares the pecking."""
        cutting = self.cutting
        distance = cutting.approach + bore.depth + drill_point(bore.diameter, cutting.point_angle)
        if through:
            distance += cutting.breakthrough
        fed = self._fed(distance, cutting.drill_feed(bore.diameter), self.speeds.drilling, bore.diameter)
        travel = 0.0 if pilot else pecking(bore.depth, bore.diameter, cutting.peck_from)[1]
        return fed + (distance + travel) / self.machine.retract

    def spot(self) -> float:
        """A centre as deep as half the spotting drill's diameter."""
        diameter = self.cutting.spot_diameter
        distance = self.cutting.approach + diameter / 2
        fed = self._fed(distance, self.cutting.drill_feed(diameter), self.speeds.drilling, diameter)
        return fed + distance / self.machine.retract

    def chamfer(self, diameter: float) -> float:
        """A light edge break at the mouth of a hole."""
        distance = self.cutting.approach + 1.0
        fed = self._fed(distance, self.cutting.drill_feed(diameter), self.speeds.drilling, diameter)
        return fed + distance / self.machine.retract

    def counterbore(self, bore: Bore) -> float:
        """Flat-bottomed, at a share of drilling's speed and of its feed."""
        share = self.cutting.counterbore_factor
        distance = self.cutting.approach + bore.depth
        feed = share * self.cutting.drill_feed(bore.diameter)
        fed = self._fed(distance, feed, share * self.speeds.drilling, bore.diameter)
        return fed + distance / self.machine.retract

    def bore(self, bore: Bore) -> float:
        """One pass of a boring head, for position; rapid out."""
        distance = self.cutting.approach + bore.depth
        fed = self._fed(distance, self.cutting.bore_feed, self.speeds.boring, bore.diameter)
        return fed + distance / self.machine.retract

    def ream(self, bore: Bore) -> float:
        """To size; fed in and fed out, so that the tool leaves no score."""
        distance = self.cutting.approach + bore.depth
        feed = self.cutting.ream_feed * self.cutting.drill_feed(bore.diameter)
        return 2 * self._fed(distance, feed, self.speeds.reaming, bore.diameter)

    def thread(self, thread: Thread) -> float:
        """Tapped: in and out at a pitch a turn. Milled from a stated size up: one helical pass around."""
        if thread.major < self.cutting.thread_mill_from:
            return 2 * self._fed(self.cutting.approach + thread.depth, thread.pitch, self.speeds.tapping, thread.major)
        cutter = self.cutting.thread_mill_share * thread.major
        around = pi * (thread.major - cutter) * max(1.0, thread.depth / thread.pitch)
        return self._fed(around, self.cutting.thread_mill_feed, self.speeds.milling, cutter)

    def steps(self, hole: Hole, *, for_position: bool) -> Iterator[Step]:
        """The sequence of one hole.

        Spot; drill the narrowest bore; each wider bore is counterbored, or core-drilled and reamed; close-tolerance
        bores are bored first where position asks for it, so that a tighter plate only ever adds steps; chamfer; thread.
        A bore wider than the table of drills is milled out, and bored to size where it is close.
        """
        if self.cutting.spot:
            yield Step("spot", self.spot())
        for number, bore in enumerate(hole.bores):
            through = hole.through and number == 0
            if bore.diameter > self.cutting.drill_feeds[-1].up_to:
                yield Step("mill out", pi / 4 * bore.diameter**2 * bore.depth / self.speeds.removal)
                if bore.tolerance:
                    yield Step("bore", self.bore(bore))
                continue
            if bore.flat:
                yield Step("counterbore", self.counterbore(bore))
                continue
            drilled = (
                max(bore.diameter - self.cutting.ream_allowance, bore.diameter / 2) if bore.tolerance else bore.diameter
            )
            yield Step(
                "core-drill" if number else "peck-drill" if self._pecks(bore) else "drill",
                self.drill(Bore(drilled, bore.depth), through=through, pilot=number > 0),
            )
            if bore.tolerance:
                if for_position:
                    yield Step("bore", self.bore(bore))
                yield Step("ream", self.ream(bore))
        if self.cutting.chamfer:
            yield Step("chamfer", self.chamfer(hole.widest))
        if hole.thread:
            milled = hole.thread.major >= self.cutting.thread_mill_from
            yield Step("thread-mill" if milled else "tap", self.thread(hole.thread))

    def _pecks(self, bore: Bore) -> bool:
        return pecking(bore.depth, bore.diameter, self.cutting.peck_from)[0] > 0


@remembered(4096)
def cycle(hole: Hole, material: str, for_position: bool, shop: ShopData) -> Cycle:
    """The cycle of one hole; remembered, since plates share their few kinds of hole."""
    steps = tuple(Tools(shop.materials[material], shop).steps(hole, for_position=for_position))
    words = ", ".join(f"{step.operation} {step.seconds:.1f}" for step in steps)
    return Cycle(sum(step.seconds for step in steps), len(steps), words)


def group_seconds(group: HoleGroup, material: str, for_position: bool, shop: ShopData) -> tuple[float, str]:
    """All of a group's holes on one plate, with each tool's change and its way over the positions; and the basis."""
    one = cycle(group.hole, material, for_position, shop)
    machine, count = shop.machine, group.count
    moving = group.layout.path / machine.traverse + count * machine.settle
    seconds = count * one.seconds + one.tools * (moving + machine.tool_change)
    return seconds, f"{count} a plate: {one.steps} s each; {counted(one.tools, 'tool')}"


def recess_seconds(recess: Recess, material: str, shop: ShopData) -> float:
    """Milled out at the material's removal rate, one tool change for the lot."""
    volume = recess.count * recess.length * recess.width * recess.depth
    return volume / shop.materials[material].speeds.removal + shop.machine.tool_change
