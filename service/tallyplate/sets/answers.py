"""What a caller gets for a set: every line once, below the plate that it is of or among those that plates share."""

from datetime import date

from msgspec import UNSET, Struct, UnsetType

from tallyplate import money
from tallyplate.answers import LeadTime, LineAnswer, Mass, Version, Versions, line_answer
from tallyplate.contract import Assumption
from tallyplate.findings import Finding
from tallyplate.pricing import hours, unit_price
from tallyplate.sets.priced import PricedSet
from tallyplate.units import decimal_text


class SharedLine(LineAnswer, frozen=True, gc=False, kw_only=True):
    """A priced item that plates of the order share; `plates` are the pointers to them."""

    plates: tuple[str, ...]


class SetMass(Struct, frozen=True, gc=False):
    """Mass of all plates of the order, holes not taken out."""

    total: str
    unit: str


class SetPlateAnswer(Struct, frozen=True, kw_only=True):
    """One plate of a set. `amount` is its part of the total: its own lines, and its part of those that are shared.

    A plate that is made just like an earlier one is counted with it: `like` points there, where the lines of both are.
    """

    name: str | UnsetType = UNSET
    quantity: int
    amount: str
    unit_price: str
    like: str | UnsetType = UNSET
    lines: list[LineAnswer]
    findings: tuple[Finding, ...]
    assumed: tuple[Assumption, ...]
    mass: Mass


class SetAnswer(Struct, frozen=True):
    """The price of a set: the total binds, and is the sum of the amounts of all lines, own and shared."""

    currency: str
    quantity: int
    total: str
    plates: list[SetPlateAnswer]
    shared: list[SharedLine]
    findings: tuple[Finding, ...]
    mass: SetMass
    hours: dict[str, str]
    lead_time: LeadTime
    as_of: date
    rate_card: Version
    shop_data: Version
    versions: Versions

    @property
    def lines(self) -> list[LineAnswer]:
        """Every line, own and shared."""
        return [*(line for plate in self.plates for line in plate.lines), *self.shared]


def set_answer(priced: PricedSet, versions: Versions) -> SetAnswer:
    """Everything that is said about the price of a set."""
    digits = priced.card.minor_digits
    lines = priced.price.lines
    own: list[list[LineAnswer]] = [[] for _ in priced.kinds]
    shared: list[SharedLine] = []
    for one in lines:
        said = line_answer(one.line, digits)
        if len(one.kinds) == 1:
            own[one.kinds[0]].append(said)
        else:
            shared.append(_shared(said, priced.pointers(one.kinds)))
    plates = [
        SetPlateAnswer(
            name=plate.name or UNSET,
            quantity=plate.quantity,
            amount=money.text(plate.amount, digits),
            unit_price=money.text(unit_price(plate.amount, plate.quantity), digits),
            like=UNSET if plate.first == place else f"/plates/{plate.first}",
            lines=own[plate.kind] if plate.first == place else [],
            findings=plate.findings,
            assumed=plate.assumed,
            mass=plate.weighed,
        )
        for place, plate in enumerate(priced.plates)
    ]
    return SetAnswer(
        currency=priced.card.currency,
        quantity=priced.quantity,
        total=money.text(priced.price.total, digits),
        plates=plates,
        shared=shared,
        findings=priced.findings,
        mass=set_mass(priced),
        hours={center: money.text(counted, 4) for center, counted in hours(one.line for one in lines).items()},
        lead_time=priced.lead_time,
        as_of=priced.as_of,
        rate_card=Version(priced.card.id, priced.card.digest),
        shop_data=Version(priced.shop.id, priced.shop.digest),
        versions=versions,
    )


def set_mass(priced: PricedSet) -> SetMass:
    """What the plates of the order weigh together."""
    return SetMass(decimal_text(sum(plate.mass * plate.quantity for plate in priced.plates), 3), "kg")


def _shared(line: LineAnswer, plates: tuple[str, ...]) -> SharedLine:
    fields = {name: getattr(line, name) for name in LineAnswer.__struct_fields__}
    return SharedLine(**fields, plates=plates)
