"""The outside form of a set: what each plate sells for, by kind of work, with its part of all that the order shares."""

from collections.abc import Mapping
from datetime import date

from msgspec import UNSET, Struct, UnsetType

from tallyplate import money
from tallyplate.answers import LeadTime, Mass, Version
from tallyplate.contract import Assumption, CostModule, Stage
from tallyplate.findings import Finding
from tallyplate.outside import SellingLine
from tallyplate.pricing import unit_price
from tallyplate.sets.answers import SetMass, set_mass
from tallyplate.sets.priced import PricedPlate, PricedSet


class SellingPlate(Struct, frozen=True, kw_only=True):
    """One plate of a set as a customer sees it; `amount` is its part of the total, and the sum of its lines."""

    name: str | UnsetType = UNSET
    quantity: int
    amount: str
    unit_price: str
    lines: tuple[SellingLine, ...]
    findings: tuple[Finding, ...]
    assumed: tuple[Assumption, ...]
    mass: Mass


class SellingSet(Struct, frozen=True):
    """The price of a set as a customer sees it: the total binds, and is the sum of the plates' amounts."""

    currency: str
    quantity: int
    total: str
    plates: tuple[SellingPlate, ...]
    findings: tuple[Finding, ...]
    mass: SetMass
    lead_time: LeadTime
    as_of: date
    rate_card: Version
    shop_data: Version


def set_outside(priced: PricedSet, modules: Mapping[str, CostModule]) -> SellingSet:
    """The outside form of a priced set."""
    costs = _costs(priced, modules)
    return SellingSet(
        currency=priced.card.currency,
        quantity=priced.quantity,
        total=money.text(priced.price.total, priced.card.minor_digits),
        plates=tuple([_selling(plate, costs[plate.kind], priced.card.minor_digits) for plate in priced.plates]),
        findings=priced.findings,
        mass=set_mass(priced),
        lead_time=priced.lead_time,
        as_of=priced.as_of,
        rate_card=Version(priced.card.id, priced.card.digest),
        shop_data=Version(priced.shop.id, priced.shop.digest),
    )


def _costs(priced: PricedSet, modules: Mapping[str, CostModule]) -> list[dict[str, int]]:
    """What each kind bears of each kind of work, by the title that customers read, and of services."""
    costs: list[dict[str, int]] = [{} for _ in priced.kinds]
    for one in priced.price.lines:
        module = modules[one.line.of.module]
        if module.stage is Stage.MAKE or module.optional:
            title = module.title or one.line.of.module
            for kind, borne in zip(one.kinds, one.borne, strict=True):
                costs[kind][title] = costs[kind].get(title, 0) + borne
    return costs


def _selling(plate: PricedPlate, costs: dict[str, int], digits: int) -> SellingPlate:
    amounts = money.spread(plate.amount, list(costs.values()))
    return SellingPlate(
        name=plate.name or UNSET,
        quantity=plate.quantity,
        amount=money.text(plate.amount, digits),
        unit_price=money.text(unit_price(plate.amount, plate.quantity), digits),
        lines=tuple(
            SellingLine(title, plate.quantity, "plate", money.text(amount, digits))
            for title, amount in zip(costs, amounts, strict=True)
            if amount
        ),
        findings=plate.findings,
        assumed=plate.assumed,
        mass=plate.weighed,
    )
