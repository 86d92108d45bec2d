"""From a mounting in a spec to holding screws and locators, for any family that stands flat on a machine table.

Screws and pins land on the table's slots or grid, far out and where the hole pattern gives up least
(`tallyplate.contract.placing`). Lengths are mm.
"""

from collections.abc import Callable, Iterable, Sequence
from functools import partial
from math import hypot
from typing import Final

from msgspec import UNSET, Struct, UnsetType
from msgspec.structs import replace

from tallyplate.columns.parting import remembered, smaller
from tallyplate.contract.avoiding import Avoided, clear_of, weighed
from tallyplate.contract.build import Hardware, Hole, HoleGroup, Recess, Table
from tallyplate.contract.giving_way import giving_way
from tallyplate.contract.holes import holding_hole, pin_hole
from tallyplate.contract.laying import Field, Lines
from tallyplate.contract.outlines import Outline
from tallyplate.contract.placing import Stand, axes, outermost, pins, screws
from tallyplate.contract.refusals import Fault, Refusal, refuse
from tallyplate.contract.seats import seated
from tallyplate.contract.sections import Screw
from tallyplate.contract.shop import ShopData
from tallyplate.contract.spec import Mounting, Pattern, Usual
from tallyplate.lattice import GUARD, Lattice, Node, Points, count_on
from tallyplate.units import decimal_text

LOCATORS = {"pins": (("round_pin", 1), ("relieved_pin", 1)), "retractable_pins": (("retractable_pin", 2),)}
"""Two pins locate; of fixed ones the second is relieved along the line between them, lest the plate be
over-constrained (common practice, no source)."""


MOST_SOUGHT: Final = 4
"""Zones of a plate up to which places are sought where the pattern gives up least; beyond, they are farthest out."""


class Mounted(Struct, frozen=True):
    """What a mounting adds to a plate, and the pattern without the positions that it gives up."""

    holes: tuple[HoleGroup, ...]
    hardware: tuple[Hardware, ...]
    recesses: tuple[Recess, ...]
    table: Table
    given_up: tuple[tuple[str, Node], ...] = ()


def mounting(
    spec: Mounting | UnsetType,
    field: Field,
    pattern_holes: tuple[HoleGroup, ...],
    shop: ShopData,
    usual: Usual,
    *,
    pointer: str = "/plate/mounting",
    placed: tuple[Outline, ...] = (),
) -> Mounted:
    """Place holding screws and locators, clear of what is `placed` already where the table lets.

    Refuses a plate with no room for them.
    """
    wanted = Mounting() if isinstance(spec, UnsetType) else spec
    table = _table(wanted, field, shop, usual, pointer)
    if table.surface == "none":
        return Mounted(pattern_holes, (), (), table)
    slotted = table.surface == "t_slots"
    holding = holding_hole(table.screw, field.thickness, shop)
    stand = _stand(table, shop, laid_on=field.lines is not None)
    if len({group.zone for group in pattern_holes}) > MOST_SOUGHT:
        stand = replace(stand, sparing=False)
    pins_reach, pin, wall = None, pin_hole(table.screw, field.thickness, shop, through=False), shop.walls.between_holes
    if wanted.locate is UNSET or wanted.locate in LOCATORS:
        pins_reach = _reaches(pattern_holes, pin, shop)
    screws_reach = _reaches(pattern_holes, holding, shop)
    avoided = clear_of(placed, holding.widest, wall), clear_of(placed, pin.widest, wall)
    columns, rows, places = _placed(field.width, field.height, stand, screws_reach, pins_reach, *avoided)
    if not rows or not columns:
        message = f"the plate has no room for {table.screw} holding screws; accepted: a larger plate, or surface none"
        raise refuse(f"{pointer}/screw", message)
    usual_locate = shop.usual.locate if places else "none"
    why = "the usual way to locate a plate, where it has room"
    located = usual(f"{pointer}/locate", wanted.locate, usual_locate, why)
    table = replace(table, locate=located, laid_on=stand.laid_on)
    if table.locate in LOCATORS and places is None:
        message = (
            f"the plate has no room for two {table.locate.replace('_', ' ')}; accepted: a longer plate, or keys or none"
        )
        raise refuse(f"{pointer}/locate", message)

    at = Points(tuple((x, y) for row, y in enumerate(rows) for x in columns[:: -1 if row % 2 else 1]))
    holes = [HoleGroup("holding", holding, at, mounting=True, asked=pointer)]
    hardware = [Hardware("holding_screw", table.screw, at.count)]
    if slotted:
        hardware.append(Hardware("t_nut", table.screw, at.count))
    recesses: tuple[Recess, ...] = ()
    if table.locate in LOCATORS and places:
        through = table.locate == "retractable_pins"
        hole = pin_hole(table.screw, field.thickness, shop, through=through)
        face = "top" if through else "bottom"
        holes.append(HoleGroup("pin", hole, places, mounting=True, face=face, asked=pointer))
        hardware += [Hardware(kind, table.screw, count) for kind, count in LOCATORS[table.locate]]
    elif table.locate == "keys":
        width = table.slot_width or float(shop.screws[table.screw].locating)
        seat = Recess("key_seat", 3 * width, width, width / 3, 2)
        recesses = (seated(seat, field, pattern_holes, holes[0], table.spacing, shop.walls),)
        hardware.append(Hardware("key", table.screw, 2))
    seats = recesses if shop.usual.seats == "cleared" else ()
    kept, given_up = giving_way(pattern_holes, holes, shop, seats, field.thickness)
    return Mounted((*kept, *holes), tuple(hardware), recesses, table, given_up)


def on_table(
    field: Field,
    patterns: Iterable[Pattern | UnsetType],
    spec: Mounting | UnsetType,
    shop: ShopData,
    *,
    pointer: str = "/plate/mounting",
) -> Field:
    """A field with the lines of the machine table under it, where a pattern is laid on them and there are any.

    The plate stands on the table as if it had no holes: centred on a line or between two.
    """
    if not any(one.laid_from == "table" for one in patterns if not isinstance(one, UnsetType)):
        return field
    table = _table(Mounting() if isinstance(spec, UnsetType) else spec, field, shop, Usual(), pointer)
    if table.surface == "none":
        return field
    stand = _stand(table, shop, laid_on=True)
    rows = outermost(field.height, stand.inset, stand.spacing)
    columns = () if stand.slotted else outermost(field.width, stand.inset, stand.spacing)
    return replace(field, lines=Lines(columns, rows))


def _stand(table: Table, shop: ShopData, *, laid_on: bool) -> Stand:
    slotted = table.surface == "t_slots"
    along = shop.usual.holding_spacing if slotted else table.spacing
    inset = _inset(shop.screws[table.screw], shop)
    return Stand(table.spacing, inset, slotted, along, shop.usual.placing == "sparing", laid_on)


USELESS: Final = {
    "t_slots": ("grid_pitch",),
    "tapped_grid": ("slot_width", "slot_spacing"),
    "none": ("slot_width", "slot_spacing", "grid_pitch", "screw", "locate"),
}
"""Answers that have no meaning on a surface."""


def _refuse_useless(wanted: Mounting, surface: str, pointer: str) -> None:
    """Refuse answers that would be dropped in silence; to be located by nothing is an answer on any surface."""
    faults = [
        Fault(f"{pointer}/{name}", f"has no meaning on surface {surface}; accepted: leave it out")
        for name in USELESS[surface]
        if getattr(wanted, name) is not UNSET and getattr(wanted, name) != "none"
    ]
    if faults:
        raise Refusal(*faults)


def _table(wanted: Mounting, field: Field, shop: ShopData, usual: Usual, pointer: str) -> Table:
    """What the plate stands on and which screw holds it, as asked or as usual; how it is located is still open."""
    usual_screw = shop.usual.screw
    if shop.usual.surface == "t_slots":
        usual_screw = shop.slot_screw(shop.usual.slot_width) or usual_screw
    room = smaller(field.width, field.height) > 2 * _inset(shop.screws[usual_screw], shop)
    usual_surface = shop.usual.surface if room else "none"
    surface = usual(f"{pointer}/surface", wanted.surface, usual_surface, "the usual machine table, where it has room")
    _refuse_useless(wanted, surface, pointer)
    if surface == "none":
        return Table("none")
    slot_width, usual_screw = 0.0, shop.usual.screw
    if surface == "t_slots":
        slot = usual(f"{pointer}/slot_width", wanted.slot_width, shop.usual.slot_width, "the usual T-slot")
        spacing = usual(f"{pointer}/slot_spacing", wanted.slot_spacing, shop.usual.slot_spacing, "the usual spacing")
        slot_width, usual_screw = float(slot), shop.slot_screw(slot) or usual_screw
    else:
        spacing = usual(f"{pointer}/grid_pitch", wanted.grid_pitch, shop.usual.grid_pitch, "the usual grid")
    designation = usual(f"{pointer}/screw", wanted.screw, usual_screw, "the screw that goes with the table")
    screw = shop.screw(designation, f"{pointer}/screw")
    name, apart = ("slot_spacing", slot_width) if surface == "t_slots" else ("grid_pitch", float(screw.major))
    if spacing <= apart:
        message = f"{spacing.text} leaves nothing between them; accepted: more than {decimal_text(apart, 3)} mm"
        raise refuse(f"{pointer}/{name}", message)
    return Table(surface, slot_width, float(spacing), "none", designation)


def _inset(screw: Screw, shop: ShopData) -> float:
    """Least distance in mm of a holding screw or locator from an edge."""
    return max(screw.counterbore, screw.locating) / 2 + shop.walls.to_edge


Reaches = tuple[tuple[Lattice, float], ...]
"""Each lattice of a pattern, and how near in mm a hole of some kind may come to its holes."""


def _reaches(pattern_holes: tuple[HoleGroup, ...], hole: Hole, shop: ShopData) -> Reaches:
    wide, wall = hole.widest, shop.walls.between_holes
    return tuple(
        [
            (group.layout, (group.hole.widest + wide) / 2 + wall)
            for group in pattern_holes
            if isinstance(group.layout, Lattice) and not group.crowded
        ]
    )


@remembered(1024)
def _placed(
    width: float,
    height: float,
    stand: Stand,
    screws_reach: Reaches,
    pins_reach: Reaches | None,
    by_screws: Avoided,
    by_pins: Avoided,
) -> tuple[tuple[float, ...], tuple[float, ...], Points | None]:
    """Columns and rows of screws, and the places of pins where they are wanted and have room.

    Remembered, since plates that differ in material, thickness or finish are held alike.
    """
    lengthwise, across = axes(width, height, [lattice for lattice, _ in screws_reach])

    def lost(rows: Sequence[float]) -> Callable[[float], int]:
        chords = [chord for y in rows for of, reach in screws_reach for chord in of.chords(y, reach)]
        return weighed(partial(count_on, chords), by_screws, rows)

    columns, rows = screws(across, lengthwise, stand, lost)
    if not rows or not columns or pins_reach is None:
        return columns, rows, None

    def besides(taken: Points, y: float) -> Callable[[float], int]:
        return weighed(_besides(pins_reach, taken, y), by_pins, (y,))

    return columns, rows, pins(columns, rows, lengthwise, stand, besides)


def _besides(reaches: Reaches, taken: Points, y: float) -> Callable[[float], int]:
    """The holes of the pattern that a hole at a height costs, without those that others of its kind cost already."""
    lines = [
        (lattice, lattice.chords(y, reach), [at for at in taken.at if abs(at[1] - y) < 2 * reach], reach * (1 - GUARD))
        for lattice, reach in reaches
    ]

    def lost(x: float) -> int:
        return sum(
            all(hypot(u - a, v - b) >= clear for u, v in beside)
            for lattice, chords, beside, clear in lines
            for a, b in map(lattice.position, lattice.nodes_on(chords, x))
        )

    return lost
