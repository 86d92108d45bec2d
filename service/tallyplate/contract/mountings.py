"""From a mounting in a spec to holding screws and locators, for any family that stands flat on a machine table.

Screws and pins land on the table's slots or grid, spread to the corners; the hole pattern gives up the positions that
they need. Lengths are mm.
"""

from math import ceil, hypot
from typing import Final

from msgspec import UNSET, Struct, UnsetType
from msgspec.structs import replace

from tallyplate.contract.build import Hardware, HoleGroup, Recess, Table
from tallyplate.contract.giving_way import giving_way
from tallyplate.contract.holes import holding_hole, pin_hole
from tallyplate.contract.patterns import Field
from tallyplate.contract.refusals import Fault, Refusal, refuse
from tallyplate.contract.sections import Screw
from tallyplate.contract.shop import ShopData
from tallyplate.contract.spec import Mounting, Usual
from tallyplate.lattice import GUARD, Node, Points

LOCATORS = {"pins": (("round_pin", 1), ("relieved_pin", 1)), "retractable_pins": (("retractable_pin", 2),)}
"""Two pins locate; of fixed ones the second is relieved along the line between them, lest the plate be
over-constrained (common practice, no source)."""


class Mounted(Struct, frozen=True):
    """What a mounting adds to a plate, and the pattern without the positions that it gives up."""

    holes: tuple[HoleGroup, ...]
    hardware: tuple[Hardware, ...]
    recesses: tuple[Recess, ...]
    table: Table
    given_up: tuple[tuple[str, Node], ...] = ()


def outermost(size: float, inset: float, spacing: float) -> tuple[float, ...]:
    """Lines of a table, `spacing` apart, that lie farthest out under a plate centred on a line or between two.

    Two lines, or one in the middle where two have no room; nothing where not even one keeps its inset.
    """
    usable = size / 2 - inset
    if usable < 0:
        return ()
    on_line = int(usable / spacing + 1e-9) * spacing
    between = (int(usable / spacing - 0.5 + 1e-9) + 0.5) * spacing if usable >= spacing / 2 * (1 - 1e-9) else 0.0
    half = max(on_line, between)
    return (size / 2 - half, size / 2 + half) if half > 0 else (size / 2,)


def spread(size: float, inset: float, at_most: float) -> tuple[float, ...]:
    """Evenly spread places from inset to inset, no farther apart than `at_most`; at least two."""
    span = size - 2 * inset
    if span <= 0:
        return ()
    steps = max(1, ceil(span / at_most - 1e-9))
    return tuple(inset + span * step / steps for step in range(steps + 1))


def mounting(
    spec: Mounting | UnsetType,
    field: Field,
    pattern_holes: tuple[HoleGroup, ...],
    shop: ShopData,
    usual: Usual,
    *,
    pointer: str = "/plate/mounting",
) -> Mounted:
    """Place holding screws and locators; refuses a plate with no room for them."""
    wanted = Mounting() if isinstance(spec, UnsetType) else spec
    table = _table(wanted, field, shop, usual, pointer)
    if table.surface == "none":
        return Mounted(pattern_holes, (), (), table)
    screw, slotted = shop.screws[table.screw], table.surface == "t_slots"
    inset = _inset(screw, shop)
    rows = outermost(field.height, inset, table.spacing)
    along = shop.usual.holding_spacing if slotted else table.spacing
    columns = (spread if slotted else outermost)(field.width, inset, along)
    if not rows or not columns:
        message = f"the plate has no room for {table.screw} holding screws; accepted: a larger plate, or surface none"
        raise refuse(f"{pointer}/screw", message)
    step = 2 * inset if slotted else table.spacing * max(1, ceil(2 * inset / table.spacing - GUARD))
    pins = _pin_places(columns, rows, step)
    usual_locate = shop.usual.locate if pins else "none"
    why = "the usual way to locate a plate, where it has room"
    table = replace(table, locate=usual(f"{pointer}/locate", wanted.locate, usual_locate, why))
    if table.locate in LOCATORS and pins is None:
        message = f"the plate has no room for two {table.locate}; accepted: a longer plate, or keys or none"
        raise refuse(f"{pointer}/locate", message)

    screws = Points(tuple((x, y) for row, y in enumerate(rows) for x in columns[:: -1 if row % 2 else 1]))
    holes = [HoleGroup("holding", holding_hole(table.screw, field.thickness, shop), screws, mounting=True)]
    hardware = [Hardware("holding_screw", table.screw, screws.count)]
    if slotted:
        hardware.append(Hardware("t_nut", table.screw, screws.count))
    recesses: tuple[Recess, ...] = ()
    if table.locate in LOCATORS and pins:
        through = table.locate == "retractable_pins"
        hole = pin_hole(table.screw, field.thickness, shop, through=through)
        holes.append(HoleGroup("pin", hole, pins, mounting=True, face="top" if through else "bottom"))
        hardware += [Hardware(kind, table.screw, count) for kind, count in LOCATORS[table.locate]]
    elif table.locate == "keys":
        width = table.slot_width or float(screw.locating)
        recesses = (Recess("key_seat", 3 * width, width, width / 3, 2),)
        hardware.append(Hardware("key", table.screw, 2))
    kept, given_up = giving_way(pattern_holes, holes, shop)
    return Mounted((*kept, *holes), tuple(hardware), recesses, table, given_up)


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
    room = min(field.width, field.height) > 2 * _inset(shop.screws[usual_screw], shop)
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
    shop.screw(designation, f"{pointer}/screw")
    return Table(surface, slot_width, float(spacing), "none", designation)


def _inset(screw: Screw, shop: ShopData) -> float:
    """Least distance in mm of a holding screw or locator from an edge."""
    return max(screw.counterbore, screw.locating) / 2 + shop.walls.to_edge


def _pin_places(columns: tuple[float, ...], rows: tuple[float, ...], clear: float) -> Points | None:
    """Two places so far inside the outer holding screws; None without room.

    On the lowest line of the table, or across the plate where that line is too short for two.
    """
    first, last = columns[0] + clear, columns[-1] - clear
    if first > last + GUARD:
        return None
    lower, upper = rows[0], rows[0] if last - first >= clear else rows[-1]
    return Points(((first, lower), (last, upper))) if hypot(last - first, upper - lower) >= clear else None
