"""What every card and all shop data state, besides the sections of plugins."""

from datetime import date
from typing import Annotated

from msgspec import UNSET, Meta, Struct, UnsetType

from tallyplate.contract import PerHour
from tallyplate.contract.cutting import Cutting
from tallyplate.contract.loads import Limits
from tallyplate.contract.sections import (
    Finish,
    Machine,
    Material,
    Screw,
    TSlot,
    UsualAnswers,
    Walls,
    WorkCenter,
)
from tallyplate.money import Rounding
from tallyplate.rates.quoting import QuoteTerms

Id = Annotated[str, Meta(pattern=r"\A[A-Za-z0-9][A-Za-z0-9._-]{0,63}\Z")]


class CardHead(Struct, frozen=True, forbid_unknown_fields=True):
    """What every rate card states besides the sections of the modules."""

    id: Id
    effective_from: date
    currency: str
    time_zone: str
    rounding: Rounding
    work_centers: dict[str, PerHour]
    quotes: QuoteTerms | UnsetType = UNSET


class ShopHead(Struct, frozen=True, forbid_unknown_fields=True):
    """What all shop data state besides the sections of families and modules."""

    id: Id
    effective_from: date
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
