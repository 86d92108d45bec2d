"""What a caller sends for a set: plates with their quantities, and around them what one order has once."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import date
from typing import Annotated, Any, Final, TypeGuard

from msgspec import UNSET, Meta, Struct, UnsetType
from msgspec.structs import replace

from tallyplate.contract import Assumption, Family, Fault, Order, Refusal, Services, refuse
from tallyplate.decoding import convert
from tallyplate.findings import Change, Finding, Mend
from tallyplate.inquiry import (
    AsOf,
    Budget,
    BudgetAsked,
    Inquiry,
    NeedBy,
    Pins,
    Quantity,
    ServicesAsked,
    inquiry_hook,
    read,
)
from tallyplate.sets.joints import Edge

MOST_PLATES: Final = 50
"""Plates of a set: each may be one that nobody has asked for before, and takes its milliseconds."""

OF_A_PLATE: Final = ("plate", "quantity")
"""What each plate of a set has for itself, of what a price request says."""

AROUND: Final = ("need_by", "budget", "as_of", "pins", "services")
"""What the order has once, of what a price request says."""

Name = Annotated[
    str,
    Meta(title="Name", description="What the caller calls it.", min_length=1, max_length=60, examples=["left table"]),
]


Joined = Annotated[
    tuple[Edge, ...],
    Meta(
        title="Joined edges",
        description="Edges at which a section of a larger plate is joined to its neighbour, by dowels and keys.",
        min_length=1,
        max_length=4,
        examples=[["right"]],
    ),
]


class SetPlate(Struct, frozen=True, forbid_unknown_fields=True):
    """One plate of a set, and how many of it."""

    plate: dict[str, Any]
    quantity: Quantity | UnsetType = UNSET
    name: Name | UnsetType = UNSET
    joined: Joined | UnsetType = UNSET


class SetEnvelope(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A set around its plates."""

    plates: Annotated[tuple[SetPlate, ...], Meta(min_length=1)]
    need_by: NeedBy | UnsetType = UNSET
    budget: BudgetAsked | UnsetType = UNSET
    as_of: AsOf | UnsetType = UNSET
    pins: Pins | UnsetType = UNSET
    services: ServicesAsked | UnsetType = UNSET


class SetInquiry(Struct, frozen=True):
    """A set, read: an inquiry for each plate, each with the dates and services of the order."""

    plates: tuple[Inquiry, ...]
    names: tuple[str, ...]
    joints: tuple[tuple[Edge, ...], ...]
    """The joined edges of each plate."""
    need_by: date | None
    budget: Budget | None
    as_of: date | None
    pins: Pins
    services: Services

    @property
    def quantity(self) -> int:
        """All plates of the order."""
        return sum(plate.quantity for plate in self.plates)

    def order(self, quantity: int, as_of: date) -> Order:
        """An order of so many of its plates, at the rates of a date."""
        return Order(quantity, as_of, self.need_by, self.services)


def is_set(request: object) -> TypeGuard[dict[str, Any]]:
    """Whether a request is for several plates in one order."""
    return isinstance(request, dict) and "plates" in request


def read_set(data: object, families: Mapping[str, Family], most: int = MOST_PLATES) -> SetInquiry:
    """A set from plain data; raises `Refusal` with every fault of the order and its plates together."""
    fields = data if isinstance(data, dict) else {}
    plates = fields.get("plates")
    if isinstance(plates, list) and len(plates) > most:
        raise refuse("/plates", f"{len(plates)} plates; accepted: at most {most}")
    around = {name: fields[name] for name in AROUND if name in fields}
    wrong: list[Fault] = []
    read_ones: list[Inquiry] = []
    for place, one in enumerate(plates if isinstance(plates, list) else ()):
        if isinstance(one, dict) and isinstance(one.get("plate"), dict):
            asked = {name: one[name] for name in OF_A_PLATE if name in one}
            with refusing(place, wrong):
                read_ones.append(read({**around, **asked}, families))
    try:
        envelope = convert(data, SetEnvelope, inquiry_hook)
    except Refusal as refusal:
        raise Refusal(*dict.fromkeys((*refusal.faults, *wrong))) from None
    if wrong:
        raise Refusal(*dict.fromkeys(wrong))
    first = read_ones[0]
    return SetInquiry(
        plates=tuple(read_ones),
        names=tuple([one.name or "" for one in envelope.plates]),
        joints=tuple([one.joined or () for one in envelope.plates]),
        need_by=first.need_by,
        budget=first.budget,
        as_of=first.as_of,
        pins=first.pins,
        services=first.services,
    )


@contextmanager
def refusing(place: int, faults: list[Fault]) -> Iterator[None]:
    """Take down what is refused of the plate at a place, so that the next may say what is wrong with it."""
    try:
        yield
    except Refusal as refusal:
        faults += [Fault(placed(fault.pointer, place), fault.message) for fault in refusal.faults]


def placed(pointer: str, place: int) -> str:
    """A pointer into a price request, as one into the set that has its plate at a place."""
    own = pointer.split("/", 2)[1:2]
    return f"/plates/{place}{pointer}" if own and own[0] in OF_A_PLATE else pointer


def found_at(found: Finding, place: int) -> Finding:
    """A finding of a plate, and what would mend it, as of the plate at a place in the set."""
    pointer = placed(found.pointer, place)
    if isinstance(found.mend, UnsetType):
        return replace(found, pointer=pointer)
    changes = tuple([Change(placed(change.pointer, place), change.value) for change in found.mend.changes])
    return replace(found, pointer=pointer, mend=Mend(changes, found.mend.words))


def assumed_at(assumed: Assumption, place: int) -> Assumption:
    """What was assumed of a plate, as of the plate at a place in the set."""
    return replace(assumed, pointer=placed(assumed.pointer, place))
