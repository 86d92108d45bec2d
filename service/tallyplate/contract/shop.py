"""Shop data: how the shop works, from a date. Manufacturing owns it; it holds no money.

A plugin's own figures are a struct that it declares; `ShopData.figures` hands it back by its type.
"""

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any, Final, TypeVar

from msgspec import Struct, UnsetType

from tallyplate.columns.parting import larger, smaller
from tallyplate.contract.build import Blank, Body
from tallyplate.contract.cutting import Cutting
from tallyplate.contract.loads import Limits
from tallyplate.contract.refusals import Fault, Refusal, one_of, refuse
from tallyplate.contract.sections import (
    CAST,
    Finish,
    Machine,
    Material,
    Screw,
    Sheet,
    TSlot,
    UsualAnswers,
    Walls,
    WorkCenter,
)
from tallyplate.lattice import GUARD
from tallyplate.units import decimal_text

SLOT_SLACK = 0.1
"""Millimetres by which a slot's stated width may differ from its standard one."""

THICKNESS: Final = 2
"""Place of the thickness among the sizes of a box."""

Own = TypeVar("Own", bound=Struct)


class ShopData(Struct, frozen=True, eq=False):
    """Everything manufacturing has said that is in force on a date. Compared by identity: it is loaded once."""

    id: str
    effective_from: date
    digest: str
    materials: dict[str, Material]
    finishes: dict[str, Finish]
    screws: dict[str, Screw]
    t_slots: tuple[TSlot, ...]
    cutting: Cutting
    machine: Machine
    walls: Walls
    work_centers: dict[str, WorkCenter]
    limits: Limits
    usual: UsualAnswers
    sections: dict[str, Any]
    """The sections of plugins, by name."""

    def figures(self, kind: type[Own]) -> Own:
        """The section that a plugin declared with the struct `kind`.

        Refuses the family of shop data without it: a shop that has not said how it makes a family does not make it.
        """
        for section in self.sections.values():
            if type(section) is kind:
                return section
        raise refuse("/plate/family", f"is not made under shop data {self.id}, which state no figures for it")

    def stated(self, kind: type[Own]) -> Own | None:
        """The section that a plugin declared with the struct `kind`, where the shop data have it."""
        return next((section for section in self.sections.values() if type(section) is kind), None)

    def require(self, *asked: tuple[str, str | UnsetType, Mapping[str, object]]) -> None:
        """Refuse, all at once, the names asked for at some pointers that are not among those on offer."""
        faults = [
            fault
            for pointer, name, offered in asked
            if not isinstance(name, UnsetType) and name not in offered
            for fault in one_of(pointer, name, offered).faults
        ]
        if faults:
            raise Refusal(*faults)

    def screw(self, designation: str, pointer: str) -> Screw:
        """A screw by designation; refuses one that is not on offer."""
        try:
            return self.screws[designation]
        except KeyError:
            raise one_of(pointer, designation, self.screws) from None

    def slot_screw(self, width: float) -> str | None:
        """The screw that the standard gives a slot of this width, by its name rather than to the micrometre."""
        return next((slot.screw for slot in self.t_slots if abs(slot.width - width) <= SLOT_SLACK + GUARD), None)

    def mass(self, body: Body) -> float:
        """Mass in kg of the solid body: holes are not taken out, so what must be lifted is never understated."""
        return body.volume * self.materials[body.material].density

    def blanks(self, body: Body) -> tuple[Blank, ...]:
        """The stock that a body can be cut from: of each form, the one that leaves its faces their clean-up.

        Of one form only the thinnest is named: a thicker one is more of the same material with more to take off. A flat
        body lies in its sheet; one with upright faces is turned each way, so that any of its sides may be the rolled
        one. Refuses a body that no stock holds, and says what would be accepted.
        """
        sizes = (body.length, body.width, body.thickness)
        material = self.materials[body.material]
        forms, turns = (material.blocks, range(3)) if body.faces else (material.stock, (THICKNESS,))
        if not forms:
            known = ", ".join(name for name, one in self.materials.items() if one.blocks)
            raise refuse("/plate/material", f"{body.material} is not bought in blocks; accepted: {known}")
        cut = [_cut_from(sheet, form, sizes, rolled) for form, sheet in forms.items() for rolled in turns]
        blanks = tuple(blank for blank in cut if blank)
        if body.faces:
            blanks = tuple(dict.fromkeys(blanks))
        if not blanks:
            largest = [max(sides) for sides in zip(*map(_finished, forms.values()), strict=True)]
            rolled = sizes.index(min(sizes)) if body.faces else THICKNESS
            short, long = sorted((side for side in range(3) if side != rolled), key=sizes.__getitem__)
            message = (
                f"no stock of {body.material} holds {_box(sizes)} mm; the largest finished plate is {_box(largest)} mm"
            )
            beyond = [side for side, most in zip((long, short, rolled), largest, strict=True) if sizes[side] > most]
            named = dict.fromkeys(f"/plate/{body.named[side]}" for side in sorted(beyond) or [long])
            raise Refusal(*[Fault(pointer, message) for pointer in named])
        return blanks

    def casting(self, body: Body) -> Blank | None:
        """The casting that a body is made from, with its allowance on every milled face; None of what is not cast."""
        how = self.materials[body.material].casting
        if how is None:
            return None
        more = 2 * how.allowance
        poured = body.volume + how.allowance * (body.milled_area + body.perimeter * body.edge)
        size = (body.length + more, body.width + more, body.thickness + more)
        return Blank(CAST, *size, poured=poured, days=float(how.days))


def _cut_from(sheet: Sheet, form: str, sizes: tuple[float, ...], rolled: int) -> Blank | None:
    """The blank for a box of these sizes, of which one is rolled and the others sawn; None where the sheet is small."""
    sawn = [size + 2 * sheet.edge_allowance for side, size in enumerate(sizes) if side != rolled]
    enough = bisect_left(sheet.thicknesses, sizes[rolled] + 2 * sheet.clean_up - GUARD)
    if larger(*sawn) > sheet.longest or smaller(*sawn) > sheet.widest or enough == len(sheet.thicknesses):
        return None
    thickness = float(sheet.thicknesses[enough])
    sawn.insert(rolled, thickness)
    return Blank(form, sawn[0], sawn[1], sawn[2], 0.0 if rolled == THICKNESS else thickness)


def _finished(sheet: Sheet) -> tuple[float, float, float]:
    """The largest body that a sheet holds: length, width and thickness in mm."""
    edges = 2 * sheet.edge_allowance
    return sheet.longest - edges, sheet.widest - edges, sheet.thicknesses[-1] - 2 * sheet.clean_up


def _box(sizes: Sequence[float]) -> str:
    return " x ".join(decimal_text(size, 3) for size in sizes)
