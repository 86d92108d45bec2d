"""Times of holes and squaring worked a second way, in fractions: for plates that nobody worked by hand.

It reads the shop's figures and a plate's sizes, and nothing of how the product computes: no build, no lattice, no
cycle. Lengths mm, times s; the pattern starts one margin in and stands on no table.
"""

from collections.abc import Iterator
from fractions import Fraction
from math import ceil
from typing import NamedTuple

from tallyplate.contract import ShopData
from tallyplate_plugins.costs.squaring import Figures as Squaring

PI = Fraction("3.14159265358979323846264338327950288")
HALF_POINT = Fraction("0.6008606190275604")
"""Tangent of 31 deg: a 118 deg drill's point over half its diameter."""


class Plate(NamedTuple):
    """A plate's sizes; `tolerance` in micrometres."""

    length: int
    width: int
    thickness: int
    pitch: int
    margin: int
    material: str
    screw: str
    bushed: bool
    alternating: bool
    tolerance: int


class Oracle:
    """The shop's figures as exact fractions, and what they make of a plate."""

    def __init__(self, plate: Plate, shop: ShopData) -> None:
        self.plate, self.shop = plate, shop
        self.screw = shop.screws[plate.screw]
        self.speeds = shop.materials[plate.material].speeds
        self.tight = Fraction(plate.tolerance, 1000) < Fraction(float(shop.cutting.bore_below))

    def seconds(self) -> dict[str, Fraction]:
        """Seconds of each line on one plate, by item."""
        plate = self.plate
        columns = (plate.length - 2 * plate.margin) // plate.pitch + 1
        rows = (plate.width - 2 * plate.margin) // plate.pitch + 1
        way = rows * (columns - 1) * plate.pitch + (rows - 1) * plate.pitch
        nodes = columns * rows
        combination = (nodes + 1) // 2 if plate.alternating else nodes
        found = self._squaring()
        for item, count, cycle in (
            ("combination holes", combination, list(self._combination())),
            ("tapped holes", nodes - combination, list(self._tapped())),
        ):
            if count:
                machine = self.shop.machine
                a_tool = way / _f(machine.traverse) + count * _f(machine.settle) + _f(machine.tool_change)
                found[item] = count * sum(cycle, Fraction(0)) + len(cycle) * a_tool
        return found

    def _combination(self) -> Iterator[Fraction]:
        """Each tool's time in a hole that locates above and clamps below."""
        screw, cutting, thickness = self.screw, self.shop.cutting, self.plate.thickness
        seat = _f(screw.bushing_outside if self.plate.bushed else screw.locating)
        depth = min(Fraction(thickness), _f(screw.bushing_length))
        yield self._spot()
        yield self._drill(_f(screw.tap_drill), Fraction(thickness), through=True)
        yield self._drill(max(seat - _f(cutting.ream_allowance), seat / 2), depth, through=False)
        way = _f(cutting.approach) + depth
        if self.tight:
            yield self._fed(way, _f(cutting.bore_feed), self.speeds.boring, seat) + self._out(way)
        yield 2 * self._fed(way, _f(cutting.ream_feed) * self._feed(seat), self.speeds.reaming, seat)
        yield self._chamfer(max(seat, _f(screw.tap_drill), _f(screw.major)))
        if thickness > depth:
            yield self._tap(thickness - depth)

    def _tapped(self) -> Iterator[Fraction]:
        """Each tool's time in a tapped hole."""
        yield self._spot()
        yield self._drill(_f(self.screw.tap_drill), Fraction(self.plate.thickness), through=True)
        yield self._chamfer(max(_f(self.screw.tap_drill), _f(self.screw.major)))
        yield self._tap(Fraction(self.plate.thickness))

    def _feed(self, diameter: Fraction) -> Fraction:
        return _f(next(step.feed for step in self.shop.cutting.drill_feeds if diameter <= _f(step.up_to)))

    def _fed(self, way: Fraction, feed: Fraction, speed: float, diameter: Fraction) -> Fraction:
        return way / feed / min(_f(speed) / (PI * diameter), _f(self.shop.machine.spindle))

    def _out(self, way: Fraction) -> Fraction:
        return way / _f(self.shop.machine.retract)

    def _spot(self) -> Fraction:
        diameter = _f(self.shop.cutting.spot_diameter)
        way = _f(self.shop.cutting.approach) + diameter / 2
        return self._fed(way, self._feed(diameter), self.speeds.drilling, diameter) + self._out(way)

    def _chamfer(self, diameter: Fraction) -> Fraction:
        way = _f(self.shop.cutting.approach) + 1
        return self._fed(way, self._feed(diameter), self.speeds.drilling, diameter) + self._out(way)

    def _drill(self, diameter: Fraction, depth: Fraction, *, through: bool) -> Fraction:
        """A through hole is drilled into the solid, and pecks; a seat follows a pilot hole, and does not."""
        cutting = self.shop.cutting
        way = _f(cutting.approach) + depth + diameter / 2 * HALF_POINT
        up_and_down = Fraction(0)
        if through:
            way += _f(cutting.breakthrough)
            peck = _f(cutting.peck_from) * diameter
            up_and_down = sum((2 * number * peck for number in range(1, ceil(depth / peck))), Fraction(0))
        return self._fed(way, self._feed(diameter), self.speeds.drilling, diameter) + self._out(way + up_and_down)

    def _tap(self, room: Fraction) -> Fraction:
        thread = min(room, _f(self.shop.usual.thread_diameters) * _f(self.screw.major))
        way = _f(self.shop.cutting.approach) + thread
        return 2 * self._fed(way, _f(self.screw.pitch), self.speeds.tapping, _f(self.screw.major))

    def _squaring(self) -> dict[str, Fraction]:
        plate, own = self.plate, self.shop.figures(Squaring)
        length, width, thickness = Fraction(plate.length), Fraction(plate.width), Fraction(plate.thickness)
        (sheet,) = self.shop.materials[plate.material].stock.values()
        edge = 2 * _f(sheet.edge_allowance)
        stock = next(size for size in map(_f, sheet.thicknesses) if size >= thickness + 2 * _f(sheet.clean_up))
        blank = (length + edge) * (width + edge)
        cutter, removal = _f(own.cutter), _f(self.speeds.removal)
        table = _f(own.feed_per_tooth) * own.teeth * _f(self.speeds.milling) / (PI * cutter)
        strip = cutter * (1 - _f(own.overlap))
        once_over = min(
            ceil(width / strip) * (length + cutter),
            ceil(length / strip) * (width + cutter),
        )
        around = ceil(thickness / _f(own.edge_depth)) * 2 * (length + width)
        found = {
            "milling faces": blank * (stock - thickness) / removal + 2 * once_over / table,
            "milling edges": (blank - length * width) * thickness / removal + around / table,
        }
        if Fraction(plate.tolerance, 1000) < Fraction("0.015"):
            found["grinding faces"] = 2 * length * width * _f(own.grinding_stock) / _f(own.grinding)
        return found


def _f(figure: float) -> Fraction:
    """A figure of the shop data as the decimal that was written, which its float is nearest to."""
    return Fraction(figure).limit_denominator(10**12)
