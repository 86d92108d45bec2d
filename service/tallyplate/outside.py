"""The outside form of a price: selling amounts only, for whoever must not see cost, rates, hours or margin.

Each kind of work is one line, and so is each service that was asked for. What overhead, margin and minimum add is
spread over them in proportion, to the minor unit, so that the lines still sum to the price and no line is a cost.
"""

from collections.abc import Mapping
from datetime import date

from msgspec import Struct

from tallyplate import money
from tallyplate.answers import LeadTime, Mass, PriceAnswer, Version
from tallyplate.contract import Assumption, CostModule, Stage
from tallyplate.findings import Finding


class SellingLine(Struct, frozen=True, gc=False):
    """What one kind of work on all plates of the order sells for."""

    item: str
    quantity: int
    unit: str
    amount: str


class SellingAnswer(Struct, frozen=True, gc=False):
    """A price as a customer sees it: the total binds, and is the sum of the lines' amounts."""

    currency: str
    quantity: int
    unit_price: str
    total: str
    lines: tuple[SellingLine, ...]
    findings: tuple[Finding, ...]
    assumed: tuple[Assumption, ...]
    mass: Mass
    lead_time: LeadTime
    as_of: date
    rate_card: Version
    shop_data: Version


def outside(answer: PriceAnswer, modules: Mapping[str, CostModule], digits: int) -> SellingAnswer:
    """The outside form of a price in a currency with so many digits."""
    costs: dict[str, int] = {}
    for line in answer.lines:
        module = modules[line.module]
        if module.stage is Stage.MAKE or module.optional:
            title = module.title or line.module
            costs[title] = costs.get(title, 0) + money.count(line.amount, digits)
    amounts = money.spread(money.count(answer.total, digits), list(costs.values()))
    return SellingAnswer(
        currency=answer.currency,
        quantity=answer.quantity,
        unit_price=answer.unit_price,
        total=answer.total,
        lines=tuple(
            SellingLine(title, answer.quantity, "plate", money.text(amount, digits))
            for title, amount in zip(costs, amounts, strict=True)
            if amount
        ),
        findings=answer.findings,
        assumed=answer.assumed,
        mass=answer.mass,
        lead_time=answer.lead_time,
        as_of=answer.as_of,
        rate_card=answer.rate_card,
        shop_data=answer.shop_data,
    )
