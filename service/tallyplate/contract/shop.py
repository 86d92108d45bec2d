"""Shop data: how the shop works, from a date. Manufacturing owns it; it holds no money.

A plugin's own figures are a struct that it declares; `ShopData.figures` hands it back by its type.
"""

from bisect import bisect_left
from collections.abc import Mapping
from datetime import date
from typing import Any, TypeVar

from msgspec import Struct, UnsetType

from tallyplate.contract.build import Blank, Body
from tallyplate.contract.refusals import Refusal, one_of, refuse
from tallyplate.contract.sections import (
    Cutting,
    Finish,
    Limits,
    Machine,
    Material,
    Screw,
    TSlot,
    UsualAnswers,
    Walls,
    WorkCenter,
)
from tallyplate.lattice import GUARD
from tallyplate.units import decimal_text

SLOT_SLACK = 0.1
"""Millimetres by which a slot's stated width may differ from its standard one."""

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
        """The section that a plugin declared with the struct `kind`."""
        for section in self.sections.values():
            if type(section) is kind:
                return section
        raise KeyError(kind)

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
        """The stock that a flat body can be cut from, thinnest first in each form.

        Of one form only the thinnest that leaves both faces their clean-up is named: a thicker one is more of the
        same material with more to take off. Refuses a body that no stock holds, and says what would be accepted.
        """
        blanks = []
        thickest, longest, widest = 0.0, 0.0, 0.0
        for form, sheet in self.materials[body.material].stock.items():
            length, width = body.length + 2 * sheet.edge_allowance, body.width + 2 * sheet.edge_allowance
            needed = body.thickness + 2 * sheet.clean_up
            fits = max(length, width) <= sheet.longest and min(length, width) <= sheet.widest
            enough = bisect_left(sheet.thicknesses, needed - GUARD)
            if fits and enough < len(sheet.thicknesses):
                blanks.append(Blank(form, length, width, float(sheet.thicknesses[enough])))
            thickest = max(thickest, sheet.thicknesses[-1] - 2 * sheet.clean_up)
            longest = max(longest, sheet.longest - 2 * sheet.edge_allowance)
            widest = max(widest, sheet.widest - 2 * sheet.edge_allowance)
        if not blanks:
            pointer = "/plate/thickness" if body.thickness > thickest else "/plate/length"
            message = (
                f"no stock of {body.material} holds {decimal_text(body.length, 3)} x {decimal_text(body.width, 3)} x "
                f"{decimal_text(body.thickness, 3)} mm; the largest finished plate is {decimal_text(longest, 3)} x "
                f"{decimal_text(widest, 3)} x {decimal_text(thickest, 3)} mm"
            )
            raise refuse(pointer, message)
        return tuple(blanks)
